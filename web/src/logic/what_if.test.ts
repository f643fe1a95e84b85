import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { Api, ApiFailure, type Options } from './api';
import type { Json } from './document';
import { GRACE_MS, POLL_MS, RETRY_MS, WhatIf } from './what_if';

interface Answer {
  of: string;
}

/** A server on which every calculation takes as long as it is told, tells its share and can be stopped. */
class FakeServer extends Api {
  takesMs = 50;
  isAway = false;
  refuses: string[] = [];
  begins: string[] = [];
  stopped: string[] = [];
  private underWay = new Map<string, { startedAt: number; takesMs: number; end: () => void }>();

  override operate<T>(_operation: string, input: Json, options: Options, run: string): Promise<T> {
    const text = String(input) + String(options['head'] ?? '');
    this.begins.push(text);
    if (this.isAway) return Promise.reject(new ApiFailure('away', 'away'));
    if (this.refuses.includes(text)) return Promise.reject(new ApiFailure('refused', 'refused', [{ what: `no ${text}` }]));
    return new Promise((done) => {
      const end = (): void => {
        this.underWay.delete(run);
        done({ of: text } as T);
      };
      this.underWay.set(run, { startedAt: Date.now(), takesMs: this.takesMs, end });
      setTimeout(end, this.takesMs);
    });
  }
  override shareOf(run: string): Promise<number | undefined> {
    const one = this.underWay.get(run);
    return Promise.resolve(one ? (Date.now() - one.startedAt) / one.takesMs : undefined);
  }
  override stopRun(run: string): Promise<boolean> {
    const one = this.underWay.get(run);
    if (!one) return Promise.resolve(false);
    this.stopped.push(run);
    one.end();
    return Promise.resolve(true);
  }
}

let server: FakeServer;
let whatIf: WhatIf<Answer>;
const pass = (ms: number): Promise<unknown> => vi.advanceTimersByTimeAsync(ms);

beforeEach(() => {
  vi.useFakeTimers();
  server = new FakeServer();
  whatIf = new WhatIf<Answer>(server, 'after-skim', true, 'test');
});
afterEach(() => vi.useRealTimers());

describe('a question that changes while it is answered', () => {
  it('is answered, and asked only once when it stays the same', async () => {
    whatIf.ask('a');
    whatIf.ask('a', { gas: [], face: '' });
    await pass(60);
    expect(whatIf.current.answer).toEqual({ of: 'a' });
    expect(whatIf.current).toMatchObject({ isOld: false, isWorking: false });
    whatIf.ask('a');
    expect(server.begins).toEqual(['a']);
  });

  it('shows figures on the way while it is dragged, and ends with the newest', async () => {
    const shown: string[] = [];
    whatIf.subscribe((view) => view.answer && shown.push(view.answer.of));
    for (let step = 0; step < 20; ++step) {
      whatIf.ask('a', { head: String(step) });
      await pass(16);
    }
    await pass(200);
    expect(whatIf.current).toMatchObject({ answer: { of: 'a19' }, isOld: false, isWorking: false });
    expect(new Set(shown).size).toBeGreaterThan(3);
    expect(server.begins.length).toBeLessThan(12);
    expect(server.stopped).toEqual([]);
  });

  it('stops a long calculation that nobody waits for any more, and never shows its answer', async () => {
    server.takesMs = 10_000;
    whatIf.ask('slow');
    await pass(100);
    server.takesMs = 50;
    whatIf.ask('new');
    await pass(GRACE_MS + 100);
    expect(server.stopped).toEqual(['test-1']);
    expect(whatIf.current.answer).toEqual({ of: 'new' });
  });

  it('tells how far a long calculation is, and keeps what it has when the reader stops it', async () => {
    server.takesMs = 4000;
    whatIf.ask('long');
    await pass(GRACE_MS + POLL_MS + 10);
    expect(whatIf.current.share).toBeGreaterThan(0.1);
    whatIf.stop();
    await pass(10);
    expect(whatIf.current).toMatchObject({ answer: { of: 'long' }, wasStopped: true, isWorking: false, share: undefined });
    whatIf.askAgain('long');
    await pass(5000);
    expect(whatIf.current).toMatchObject({ answer: { of: 'long' }, wasStopped: false });
  });

  it('keeps the last answer beside what the server refuses, and recovers', async () => {
    server.refuses = ['bad'];
    whatIf.ask('good');
    await pass(60);
    whatIf.ask('bad');
    await pass(10);
    expect(whatIf.current).toMatchObject({ answer: { of: 'good' }, isOld: true, isWorking: false, problems: [{ what: 'no bad' }] });
    whatIf.ask('good');
    await pass(60);
    expect(whatIf.current).toMatchObject({ isOld: false, problems: [] });
  });

  it('asks again when the server was away, with the newest question', async () => {
    server.isAway = true;
    whatIf.ask('a');
    await pass(10);
    expect(whatIf.current).toMatchObject({ isAway: true, isWorking: true });
    whatIf.ask('b');
    await pass(10);
    server.isAway = false;
    await pass(RETRY_MS + 100);
    expect(whatIf.current).toMatchObject({ answer: { of: 'b' }, isAway: false });
  });

  it('stops what is under way when the reader leaves', async () => {
    server.takesMs = 5000;
    whatIf.ask('a');
    await pass(50);
    whatIf.close();
    await pass(100);
    expect(server.stopped).toEqual(['test-1']);
    expect(whatIf.current.answer).toBeUndefined();
  });
});
