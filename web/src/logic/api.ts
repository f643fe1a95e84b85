/** The server's HTTP contract, as functions that answer values or throw one kind of failure. */
import type { Assessment, JobList, Problem, Question, RevisionList, Saved, StoredJob } from './contract';
import { isTable, type Json, type Table } from './document';
import type { PlotWindow } from './recording';

export type FailureKind =
  | 'away' /** no answer: the server is not there or the line is down */
  | 'conflict' /** someone else saved meanwhile */
  | 'refused' /** the server says what is wrong with what was sent */
  | 'missing' /** there is no such job */
  | 'binned' /** it was removed; `message` says when and by whom */
  | 'broken'; /** the server failed */

export class ApiFailure extends Error {
  constructor(
    readonly kind: FailureKind,
    message: string,
    readonly problems: Problem[] = [],
    readonly current?: StoredJob,
  ) {
    super(message);
  }
}

const AWAY = new Set([408, 429, 502, 503, 504]);
const ANSWER_WITHIN_MS = 20_000;

function kindOf(status: number): FailureKind {
  if (AWAY.has(status)) return 'away';
  if (status === 404) return 'missing';
  if (status === 410) return 'binned';
  if (status === 412) return 'conflict';
  return status >= 500 ? 'broken' : 'refused';
}

async function failureOf(response: Response): Promise<ApiFailure> {
  const body: unknown = await response.json().catch(() => ({}));
  const table: Table = isTable(body as Json) ? (body as Table) : {};
  const text = [table['title'], table['detail']].filter((part) => typeof part === 'string' && part !== '').join(': ');
  const problems = Array.isArray(table['problems']) ? (table['problems'] as unknown as Problem[]) : [];
  const current = isTable(table['current']) ? (table['current'] as unknown as StoredJob) : undefined;
  return new ApiFailure(kindOf(response.status), text || `The server answered ${response.status}`, problems, current);
}

/** What an operation is asked besides its input: long names without dashes; a list where the option may be given several times. */
export type Options = Record<string, string | string[]>;

/** Long calculations answer when they are done; that they are still at it is asked for separately. */
const LONG_ANSWER_WITHIN_MS = 900_000;

export interface NewJob {
  number: string;
  title: string;
  cylinders: number;
  layout: string;
  fuel: string;
}

export class Api {
  /** The name under which changes are kept; "" for nobody in particular. */
  who = '';

  constructor(private readonly send: typeof fetch = (input, init) => fetch(input, init)) {}

  async ask<T>(path: string, init: RequestInit = {}, withinMs = ANSWER_WITHIN_MS): Promise<T> {
    const stop = new AbortController();
    const timer = setTimeout(() => stop.abort(), withinMs);
    let response: Response;
    try {
      response = await this.send(`/api/v1${path}`, { ...init, headers: { ...this.signature(init.method), ...(init.headers as Record<string, string> | undefined) }, cache: 'no-store', signal: stop.signal });
    } catch {
      throw new ApiFailure('away', 'The server does not answer');
    } finally {
      clearTimeout(timer);
    }
    if (!response.ok) throw await failureOf(response);
    if (response.status === 204) return undefined as T;
    try {
      return (await response.json()) as T;
    } catch {
      throw new ApiFailure('away', 'The answer was cut short');
    }
  }

  private signature(method = 'GET'): Record<string, string> {
    return method === 'GET' || this.who === '' ? {} : { 'Headjoint-Who': encodeURIComponent(this.who).slice(0, 300) };
  }

  sendBody<T>(method: string, path: string, body: Json, headers: Record<string, string> = {}): Promise<T> {
    return this.ask<T>(path, { method, headers: { 'Content-Type': 'application/json', ...headers }, body: JSON.stringify(body) });
  }

  /** The jobs with all these words somewhere, last changed first. */
  jobs(words = '', limit = 50, isBin = false): Promise<JobList> {
    const asked = new URLSearchParams({ ...(words === '' ? {} : { find: words }), limit: String(limit), ...(isBin ? { bin: 'true' } : {}) });
    return this.ask<JobList>(`/jobs?${asked.toString()}`);
  }

  job(id: string): Promise<StoredJob> {
    return this.ask<StoredJob>(`/jobs/${encodeURIComponent(id)}`);
  }

  /** A new job; with an engine of the library where one is given. */
  async create(job: NewJob, engine?: Table): Promise<Saved> {
    const words = new URLSearchParams({ cylinders: String(job.cylinders), layout: job.layout, fuel: job.fuel, title: job.title });
    const fresh = await this.ask<{ document: Table }>(`/new-job?${words.toString()}`);
    return this.createFrom({ ...fresh.document, ...(engine ? { engine } : {}), number: job.number, title: job.title });
  }

  createFrom(document: Table): Promise<Saved> {
    return this.sendBody<Saved>('POST', '/jobs', { document });
  }

  /** The same `saveId` again answers what the first one made. */
  save(id: string, revision: number, document: Table, note: string, saveId = ''): Promise<Saved> {
    const name: Record<string, string> = saveId === '' ? {} : { 'Headjoint-Save-Id': saveId };
    return this.sendBody<Saved>('PUT', `/jobs/${encodeURIComponent(id)}`, { document, note }, { 'If-Match': `"${revision}"`, ...name });
  }

  /** Takes the last change back, or makes it again, on the server. */
  turnBack(id: string, revision: number, which: 'undo' | 'redo'): Promise<StoredJob> {
    return this.ask<StoredJob>(`/jobs/${encodeURIComponent(id)}/${which}`, { method: 'POST', headers: { 'If-Match': `"${revision}"` } });
  }

  revert(id: string, revision: number): Promise<Saved> {
    return this.sendBody<Saved>('POST', `/jobs/${encodeURIComponent(id)}/revert`, { revision });
  }

  history(id: string, before?: number): Promise<RevisionList> {
    return this.ask<RevisionList>(`/jobs/${encodeURIComponent(id)}/history${before === undefined ? '' : `?before=${before}`}`);
  }

  /** Into the bin, or out of it again. */
  bin(id: string, isBack = false): Promise<Saved> {
    const address = `/jobs/${encodeURIComponent(id)}`;
    return isBack ? this.sendBody<Saved>('POST', `${address}/restore`, {}) : this.ask<Saved>(address, { method: 'DELETE' });
  }

  async questions(id: string): Promise<Question[]> {
    return (await this.ask<{ questions: Question[] }>(`/jobs/${encodeURIComponent(id)}/questions`)).questions;
  }

  /** The questions for the document's engine alone, for a job whose other entries do not read. */
  async questionsForEngine(document: Table): Promise<Question[]> {
    const input: Table = { format: 1, engine: document['engine'] ?? {} };
    return (await this.sendBody<{ questions: Question[] }>('POST', '/questions', { input })).questions;
  }

  assessment(id: string): Promise<Assessment> {
    return this.ask<Assessment>(`/jobs/${encodeURIComponent(id)}/assessment`);
  }

  /** The names of the operations that this program has. */
  async operations(): Promise<string[]> {
    return (await this.ask<{ operations: { name: string }[] }>('/operations')).operations.map((operation) => operation.name);
  }

  /** Asks an operation, with its drawings; `run` is the name under which it can be watched and stopped. */
  operate<T>(operation: string, input: Json, options: Options, run: string): Promise<T> {
    const body = JSON.stringify({ input, options, pictures: true, run });
    return this.ask<T>(`/${operation}`, { method: 'POST', headers: { 'Content-Type': 'application/json' }, body }, LONG_ANSWER_WITHIN_MS);
  }

  /** Sends a file as it is; the name to ask about it by. */
  sendFile(file: File, onShare: (share: number) => void, stop: AbortSignal): Promise<string> {
    return new Promise((done, failed) => {
      // fetch does not tell how much has been sent.
      const request = new XMLHttpRequest();
      request.open('POST', `/api/v1/uploads?${new URLSearchParams({ source: file.name }).toString()}`);
      request.setRequestHeader('Content-Type', 'application/octet-stream');
      request.upload.onprogress = (event) => onShare(event.total > 0 ? event.loaded / event.total : 0);
      request.onerror = () => failed(new ApiFailure('away', 'The server does not answer'));
      request.onabort = () => failed(new ApiFailure('away', 'Sending was stopped'));
      request.onload = () => {
        if (request.status === 201) done((JSON.parse(request.responseText) as { upload: string }).upload);
        else void failureOf(new Response(request.responseText, { status: request.status })).then(failed);
      };
      stop.addEventListener('abort', () => request.abort());
      request.send(file);
    });
  }

  /** Asks an operation about a file that was sent. @param engine the engine's or the job's document */
  askAboutFile<T>(operation: string, upload: string, options: Options, engine: Table, run: string): Promise<T> {
    const body = JSON.stringify({ upload, options: { ...options, engine }, pictures: true, run });
    return this.ask<T>(`/${operation}`, { method: 'POST', headers: { 'Content-Type': 'application/json' }, body }, LONG_ANSWER_WITHIN_MS);
  }

  /** Least and greatest of any stretch of a recording that was asked about. */
  windowOf(upload: string, from_s: number, to_s: number, columns: number): Promise<PlotWindow> {
    const words = new URLSearchParams({ from: String(from_s), to: String(to_s), columns: String(columns) });
    return this.ask<PlotWindow>(`/uploads/${encodeURIComponent(upload)}/window?${words.toString()}`);
  }

  dropFile(upload: string): Promise<void> {
    return this.ask<void>(`/uploads/${encodeURIComponent(upload)}`, { method: 'DELETE' });
  }

  /** The share done of a calculation under way; undefined when it has not begun or is over. */
  async shareOf(run: string): Promise<number | undefined> {
    try {
      return (await this.ask<{ share: number }>(`/runs/${encodeURIComponent(run)}`)).share;
    } catch (failure) {
      if (failure instanceof ApiFailure && failure.kind === 'missing') return undefined;
      throw failure;
    }
  }

  /** Tells a calculation to stop with what it has; false when it has not begun or is over. */
  async stopRun(run: string): Promise<boolean> {
    try {
      await this.ask<undefined>(`/runs/${encodeURIComponent(run)}`, { method: 'DELETE' });
      return true;
    } catch (failure) {
      if (failure instanceof ApiFailure && failure.kind === 'missing') return false;
      throw failure;
    }
  }

  paperAddress(id: string, paper: 'paper' | 'owner-sheet' | 'machine-shop-order' | 'tightening-sheet'): string {
    return `/api/v1/jobs/${encodeURIComponent(id)}/${paper}`;
  }
}
