/** The server's HTTP contract, as functions that answer values or throw one kind of failure. */
import type { Assessment, JobSummary, Problem, Question, Saved, StoredJob } from './contract';
import { isTable, type Json, type Table } from './document';

export type FailureKind =
  | 'away' /** no answer: the server is not there or the line is down */
  | 'conflict' /** someone else saved meanwhile */
  | 'refused' /** the server says what is wrong with what was sent */
  | 'missing' /** there is no such job */
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

export interface NewJob {
  number: string;
  title: string;
  cylinders: number;
  layout: string;
  fuel: string;
}

export class Api {
  constructor(private readonly send: typeof fetch = (input, init) => fetch(input, init)) {}

  private async ask<T>(path: string, init: RequestInit = {}): Promise<T> {
    const stop = new AbortController();
    const timer = setTimeout(() => stop.abort(), ANSWER_WITHIN_MS);
    let response: Response;
    try {
      response = await this.send(`/api/v1${path}`, { ...init, cache: 'no-store', signal: stop.signal });
    } catch {
      throw new ApiFailure('away', 'The server does not answer');
    } finally {
      clearTimeout(timer);
    }
    if (!response.ok) throw await failureOf(response);
    try {
      return (await response.json()) as T;
    } catch {
      throw new ApiFailure('away', 'The answer was cut short');
    }
  }

  private sendBody<T>(method: string, path: string, body: Json, headers: Record<string, string> = {}): Promise<T> {
    return this.ask<T>(path, { method, headers: { 'Content-Type': 'application/json', ...headers }, body: JSON.stringify(body) });
  }

  async jobs(): Promise<JobSummary[]> {
    return (await this.ask<{ jobs: JobSummary[] }>('/jobs')).jobs;
  }

  job(id: string): Promise<StoredJob> {
    return this.ask<StoredJob>(`/jobs/${encodeURIComponent(id)}`);
  }

  async create(job: NewJob): Promise<Saved> {
    const words = new URLSearchParams({ cylinders: String(job.cylinders), layout: job.layout, fuel: job.fuel, title: job.title });
    const fresh = await this.ask<{ document: Table }>(`/new-job?${words.toString()}`);
    return this.createFrom({ ...fresh.document, number: job.number, title: job.title });
  }

  createFrom(document: Table): Promise<Saved> {
    return this.sendBody<Saved>('POST', '/jobs', { document });
  }

  save(id: string, revision: number, document: Table, note: string): Promise<Saved> {
    return this.sendBody<Saved>('PUT', `/jobs/${encodeURIComponent(id)}`, { document, note }, { 'If-Match': `"${revision}"` });
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

  paperAddress(id: string, paper: 'paper' | 'owner-sheet' | 'machine-shop-order'): string {
    return `/api/v1/jobs/${encodeURIComponent(id)}/${paper}`;
  }
}
