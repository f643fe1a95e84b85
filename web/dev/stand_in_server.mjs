#!/usr/bin/env node
// Stands in for `headjoint serve` while the page is worked on: same HTTP contract, invented findings.
// usage: stand_in_server.mjs serve --port 0 --data DIR
import { mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:http';
import { dirname, extname, join, normalize } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { assessmentOf, problemsOf } from './assessment.mjs';
import { freshDocument, questionsFor } from './fixtures.mjs';
import { operations } from './operations.mjs';

const VERSION = 'stand-in';
const { values: options } = parseArgs({ options: { port: { type: 'string', default: '0' }, data: { type: 'string', default: '' } }, allowPositionals: true });
const dist = join(dirname(fileURLToPath(import.meta.url)), '../dist');
const file = options.data === '' ? '' : join(options.data, 'stand_in_jobs.json');
const jobs = new Map();

function load() {
  if (file === '') return;
  mkdirSync(options.data, { recursive: true });
  try {
    for (const [id, revisions] of JSON.parse(readFileSync(file, 'utf8'))) jobs.set(id, revisions);
  } catch {
    // a new folder has no jobs
  }
}

function store() {
  if (file === '') return;
  writeFileSync(`${file}.new`, JSON.stringify([...jobs]));
  renameSync(`${file}.new`, file);
}

const PAGE_POLICY = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; font-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'";
const PAPER_POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
const KINDS = { '.html': 'text/html; charset=utf-8', '.js': 'text/javascript', '.css': 'text/css', '.svg': 'image/svg+xml' };

function answer(response, status, body, headers = {}) {
  const isText = typeof body === 'string' || Buffer.isBuffer(body);
  response.writeHead(status, { 'Content-Type': status >= 400 ? 'application/problem+json' : 'application/json', 'Content-Security-Policy': PAGE_POLICY, 'X-Content-Type-Options': 'nosniff', 'Referrer-Policy': 'no-referrer', ...headers });
  response.end(isText ? body : JSON.stringify(body));
}

const refuse = (response, status, title, more = {}) => answer(response, status, { type: 'about:blank', title, status, detail: '', problems: [], ...more });

async function bodyOf(request) {
  const parts = [];
  for await (const part of request) parts.push(part);
  return JSON.parse(Buffer.concat(parts).toString('utf8'));
}

const latest = (id) => jobs.get(id)?.at(-1);
const savedOf = (id, revision) => ({ id, revision: revision.revision, changed_at: revision.changed_at });
const storedOf = (id, revision) => ({ ...savedOf(id, revision), document: revision.document });

function add(id, document, note) {
  const revisions = jobs.get(id) ?? [];
  const revision = { revision: revisions.length + 1, changed_at: new Date().toISOString(), document, note };
  jobs.set(id, [...revisions, revision]);
  store();
  return revision;
}

function put(response, id, body, condition) {
  const current = latest(id);
  if (condition === undefined) return refuse(response, 428, 'If-Match is required');
  const expected = Number(condition.replaceAll('"', ''));
  const already = jobs.get(id)[expected];
  if (already && JSON.stringify(already.document) === JSON.stringify(body.document)) return answer(response, 200, savedOf(id, already));
  if (expected !== current.revision) return refuse(response, 412, 'Someone else saved this job meanwhile', { current: storedOf(id, current) });
  return answer(response, 200, savedOf(id, add(id, body.document, body.note ?? '')));
}

function paper(id) {
  const { document } = latest(id);
  const escaped = (text) => String(text).replace(/[<&"]/g, (mark) => `&#${mark.charCodeAt(0)};`);
  return `<!doctype html><html lang="en"><meta charset="utf-8"><title>Record of job ${escaped(document.number)}</title><style>body{font:12pt serif;color:#000;background:#fff}</style><h1>Record of job ${escaped(document.number)}</h1><p>${escaped(assessmentOf(document, VERSION).finding.sentence)}</p></html>`;
}

function getJob(response, id, what) {
  const current = latest(id);
  const { document } = current;
  switch (what) {
    case undefined:
      return answer(response, 200, storedOf(id, current), { ETag: `"${current.revision}"` });
    case 'history':
      return answer(response, 200, { revisions: jobs.get(id).map(({ revision, changed_at, note }) => ({ revision, changed_at, note })) });
    case 'questions':
      if (problemsOf(document).length > 0) return refuse(response, 422, 'The job does not read', { problems: problemsOf(document) });
      return answer(response, 200, { questions: questionsFor(document.engine.engine.cylinders) });
    case 'assessment': {
      const problems = problemsOf(document);
      return problems.length > 0 ? refuse(response, 422, 'The job does not read', { problems }) : answer(response, 200, assessmentOf(document, VERSION));
    }
    case 'paper':
    case 'owner-sheet':
      return answer(response, 200, paper(id), { 'Content-Type': KINDS['.html'], 'Content-Security-Policy': PAPER_POLICY });
    default:
      return refuse(response, 404, 'No such address');
  }
}

async function api(request, response, url) {
  const [, , , collection, id, what] = url.pathname.split('/');
  if (collection === 'version') return answer(response, 200, { version: VERSION, schema_version: 1 });
  if (collection === 'new-job') {
    const words = url.searchParams;
    return answer(response, 200, { document: freshDocument({ cylinders: Number(words.get('cylinders')), layout: words.get('layout'), fuel: words.get('fuel'), title: words.get('title') }) });
  }
  if (collection === 'engines' && request.method === 'GET') return answer(response, 200, { engines: [], total: 0, next: null });
  if (collection === 'shop' && id === undefined) return answer(response, 200, { documents: [] });
  if (collection === 'questions') return answer(response, 200, { questions: questionsFor((await bodyOf(request)).input.engine.engine.cylinders) });
  if (collection === 'operations') return answer(response, 200, { operations: Object.keys(operations).map((name) => ({ name })) });
  if (request.method === 'POST' && operations[collection]) return answer(response, 200, { schema_version: 1, ...operations[collection](await bodyOf(request)) });
  if (collection !== 'jobs') return refuse(response, 404, 'No such address');
  if (request.method !== 'GET' && request.headers['content-type'] !== 'application/json') return refuse(response, 415, 'The body must be JSON');
  if (id === undefined && request.method === 'POST') {
    const fresh = `j${jobs.size + 1}`;
    return answer(response, 201, savedOf(fresh, add(fresh, (await bodyOf(request)).document, 'new')));
  }
  if (id === undefined) {
    const list = [...jobs].map(([job, revisions]) => ({ ...savedOf(job, revisions.at(-1)), number: revisions.at(-1).document.number ?? '', title: revisions.at(-1).document.title ?? '', engine: revisions.at(-1).document.engine?.name ?? '' }));
    return answer(response, 200, { jobs: list.sort((one, other) => other.changed_at.localeCompare(one.changed_at)) });
  }
  if (!jobs.has(id)) return refuse(response, 404, 'There is no such job');
  if (request.method === 'PUT') return put(response, id, await bodyOf(request), request.headers['if-match']);
  return getJob(response, id, what);
}

function page(response, path) {
  const name = path === '/' ? '/index.html' : path;
  try {
    answer(response, 200, readFileSync(join(dist, normalize(name))), { 'Content-Type': KINDS[extname(name)] ?? 'application/octet-stream' });
  } catch {
    refuse(response, 404, 'No such page');
  }
}

load();
const server = createServer((request, response) => {
  const url = new URL(request.url, 'http://127.0.0.1');
  if (!url.pathname.startsWith('/api/v1/')) return page(response, url.pathname);
  return api(request, response, url).catch((error) => refuse(response, 500, String(error)));
});
server.listen(Number(options.port), '127.0.0.1', () => console.log(`http://127.0.0.1:${server.address().port}/`));
