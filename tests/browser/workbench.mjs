// What every story needs: the program with a data folder of its own, a browser, and a page whose console is watched.
import assert from 'node:assert/strict';
import { spawn } from 'node:child_process';
import { accessSync, constants, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { delimiter, dirname, join, resolve } from 'node:path';
import { createInterface } from 'node:readline';
import { after, before } from 'node:test';
import { fileURLToPath } from 'node:url';

const here = dirname(fileURLToPath(import.meta.url));
const fromPage = createRequire(join(here, '../../web/package.json'));
const { chromium } = fromPage('playwright-core');
const axeSource = readFileSync(fromPage.resolve('axe-core/axe.min.js'), 'utf8');

const START_WITHIN_MS = 15_000;
const SETTLE_WITHIN_MS = 15_000;
export const canStopServer = !process.env.HEADJOINT_URL;

function programPath() {
  return resolve(process.env.HEADJOINT ?? join(here, '../../build/test/headjoint/cli/headjoint'));
}

function browserPath() {
  const names = ['chromium', 'chromium-browser', 'google-chrome'];
  const places = (process.env.PATH ?? '').split(delimiter).flatMap((folder) => names.map((name) => join(folder, name)));
  const found = [process.env.CHROMIUM, ...places].find((path) => {
    try {
      accessSync(path, constants.X_OK);
      return true;
    } catch {
      return false;
    }
  });
  assert.ok(found, 'no browser: install chromium or set CHROMIUM');
  return found;
}

/** A data folder that outlives the server, so that a story can stop and start it. */
export class Workbench {
  constructor() {
    this.folder = mkdtempSync(join(tmpdir(), 'headjoint-'));
    this.url = process.env.HEADJOINT_URL ?? '';
  }

  async start(port = 0) {
    if (!canStopServer) return;
    this.server = spawn(programPath(), ['serve', '--port', String(port), '--data', this.folder], { stdio: ['ignore', 'pipe', 'inherit'] });
    const lines = createInterface({ input: this.server.stdout });
    this.url = await new Promise((done, failed) => {
      const timer = setTimeout(() => failed(new Error('the server did not give its address')), START_WITHIN_MS);
      lines.once('line', (line) => {
        clearTimeout(timer);
        done(/http:\/\/\S+/.exec(line)?.[0] ?? '');
      });
      this.server.once('error', failed);
      this.server.once('exit', (code) => failed(new Error(`the server stopped at once, code ${code}`)));
    });
    assert.match(this.url, /^http:\/\/127\.0\.0\.1:\d+\/$/);
  }

  get port() {
    return Number(new URL(this.url).port);
  }

  /** Kills the server as a power cut would. */
  async kill() {
    if (!this.server || this.server.exitCode !== null || this.server.signalCode !== null) return;
    const gone = new Promise((done) => this.server.once('exit', done));
    this.server.kill('SIGKILL');
    await gone;
  }

  async remove() {
    await this.kill();
    rmSync(this.folder, { recursive: true, force: true });
  }

  async ask(path, init = {}) {
    const response = await fetch(new URL(`api/v1${path}`, this.url), init);
    assert.ok(response.ok, `${path} answered ${response.status}: ${await response.clone().text()}`);
    return response.json();
  }

  /** An inline four with what is given put into its document. */
  async newJob(more = {}) {
    const words = new URLSearchParams({ cylinders: '4', layout: 'inline', fuel: 'petrol', title: 'runs on two cylinders after a climb' });
    const { document } = await this.ask(`/new-job?${words}`);
    const body = JSON.stringify({ document: { ...document, number: '0117', ...more } });
    const saved = await this.ask('/jobs', { method: 'POST', headers: { 'Content-Type': 'application/json' }, body });
    return saved.id;
  }
}

export async function launchBrowser() {
  const quiet = ['--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'];
  const isRoot = process.getuid?.() === 0;
  return chromium.launch({ executablePath: browserPath(), args: isRoot ? ['--no-sandbox', ...quiet] : quiet });
}

/** A running workbench and its browser for the stories of the `describe` around the call. */
export function workbenchForStories() {
  const bench = new Workbench();
  before(async () => {
    await bench.start();
    bench.browser = await launchBrowser();
  });
  after(async () => {
    await bench.browser?.close();
    await bench.remove();
  });
  return bench;
}

/** A page whose console must stay silent, apart from lines that match one of `expected`. */
export async function openPage(browser, { expected = [], ...options } = {}) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 }, ...options });
  const page = await context.newPage();
  page.setDefaultTimeout(SETTLE_WITHIN_MS);
  const complaints = [];
  const note = (text) => {
    if (!expected.some((pattern) => pattern.test(text))) complaints.push(text);
  };
  page.on('console', (message) => ['warning', 'error'].includes(message.type()) && note(message.text()));
  page.on('pageerror', (error) => note(error.message));
  return {
    page,
    async close() {
      await context.close();
      assert.deepEqual(complaints, [], 'the console must stay silent');
    },
  };
}

/** Waits until `probe` answers something true. */
export async function until(what, probe) {
  const end = Date.now() + SETTLE_WITHIN_MS;
  for (;;) {
    const found = await probe();
    if (found) return found;
    if (Date.now() > end) assert.fail(`waited in vain: ${what}`);
    await new Promise((done) => setTimeout(done, 50));
  }
}

export const savedLine = (page) => page.locator('.saved').innerText();
export const isSaved = (page) => until('the change is saved', async () => /^saved \d/.test(await savedLine(page)) && !(await page.locator('.banner', { hasText: 'does not answer' }).count()));

/** The first chance on the finding screen: that the joint has failed. */
export const jointChance = (page) => page.locator('.chances .figure').first().innerText();

export async function goTo(page, url, job, step, field = '') {
  await page.goto(`${url}#/jobs/${job}/${step}${field === '' ? '' : `/${field}`}`);
  await page.locator(`#${step}-heading`).waitFor();
  await page.locator('.say', { hasNotText: 'No finding yet' }).waitFor();
}

/** What axe-core finds wrong with the page as it stands. */
export async function accessibilityFaults(page) {
  await page.evaluate(axeSource);
  const { violations } = await page.evaluate(() => globalThis.axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] }));
  return violations.map((fault) => `${fault.id}: ${fault.help}: ${fault.nodes.slice(0, 3).map((node) => node.target.join(' ')).join(', ')}`);
}

/** A copy of a demo job, with what is given put into its document. */
export async function demoJob(bench, number, more = {}) {
  const { jobs } = await bench.ask('/jobs');
  const demo = jobs.findLast((job) => job.number === number);
  const { document } = await bench.ask(`/jobs/${demo.id}`);
  const body = JSON.stringify({ document: { ...document, ...more } });
  return (await bench.ask('/jobs', { method: 'POST', headers: { 'Content-Type': 'application/json' }, body })).id;
}

/** Whether the program can do this; the page hides the steps that it cannot. */
export async function hasOperation(bench, name) {
  return (await bench.ask('/operations')).operations.some((operation) => operation.name === name);
}
