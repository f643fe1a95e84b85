import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { Api, ApiFailure } from './api';
import type { Assessment, Question, Saved, StoredJob } from './contract';
import type { Table } from './document';
import { JobSession, SAVE_AFTER_MS } from './session';
import type { UnsavedRecord, UnsavedStore } from './unsaved';

/** A server in memory that keeps the contract of PUT, and can be taken away. */
class FakeServer extends Api {
  revision = 1;
  document: Table = { number: '7', signs: {} };
  isAway = false;
  losesAnswers = false;
  refuses = false;
  puts: { revision: number; document: Table }[] = [];
  private last: { revision: number; text: string; saved: Saved } | undefined;

  private here(): void {
    if (this.isAway) throw new ApiFailure('away', 'away');
  }
  override job(): Promise<StoredJob> {
    return Promise.resolve().then(() => {
      this.here();
      return { id: 'j', revision: this.revision, changed_at: '', document: this.document };
    });
  }
  override save(_id: string, revision: number, document: Table): Promise<Saved> {
    return Promise.resolve().then(() => {
      this.here();
      this.puts.push({ revision, document });
      if (this.refuses) throw new ApiFailure('refused', 'refused', [{ what: 'no' }]);
      const text = JSON.stringify(document);
      if (this.last?.revision === revision && this.last.text === text) return this.last.saved;
      if (revision !== this.revision) throw new ApiFailure('conflict', 'conflict', [], { id: 'j', revision: this.revision, changed_at: '', document: this.document });
      this.document = document;
      ++this.revision;
      this.last = { revision, text, saved: { id: 'j', revision: this.revision, changed_at: '' } };
      if (this.losesAnswers) throw new ApiFailure('away', 'lost');
      return this.last.saved;
    });
  }
  override operations(): Promise<string[]> {
    return Promise.resolve().then(() => {
      this.here();
      return ['flatness', 'clamp'];
    });
  }
  override questionsForEngine(document: Table): Promise<Question[]> {
    return Promise.resolve([{ name: String(document['engine']) } as Question]);
  }
  override questions(): Promise<Question[]> {
    return Promise.resolve().then(() => {
      this.here();
      if (this.refuses) throw new ApiFailure('refused', 'refused', [{ what: 'no' }]);
      return [{ name: 'q' } as Question];
    });
  }
  override assessment(): Promise<Assessment> {
    return Promise.resolve().then(() => {
      this.here();
      return { finding: { sentence: JSON.stringify(this.document['signs']) }, warnings: [] } as unknown as Assessment;
    });
  }
}

class MemoryStore implements UnsavedStore {
  records = new Map<string, string>();
  get(id: string): UnsavedRecord | undefined {
    const text = this.records.get(id);
    return text === undefined ? undefined : (JSON.parse(text) as UnsavedRecord);
  }
  keep(id: string, record: UnsavedRecord): boolean {
    this.records.set(id, JSON.stringify(record));
    return true;
  }
  ids(): string[] {
    return [...this.records.keys()];
  }
  drop(id: string): void {
    this.records.delete(id);
  }
}

const see = (name: string, value = 'seen') => [{ path: ['signs', name], value }];

let server: FakeServer;
let store: MemoryStore;

async function opened(): Promise<JobSession> {
  const session = new JobSession('j', server, store);
  await session.open();
  return session;
}
const pass = (ms: number): Promise<unknown> => vi.advanceTimersByTimeAsync(ms);

beforeEach(() => {
  vi.useFakeTimers();
  server = new FakeServer();
  store = new MemoryStore();
});
afterEach(() => vi.useRealTimers());

describe('a job on the bench', () => {
  it('saves a change a moment after it was made, then renews the finding', async () => {
    const session = await opened();
    session.change('milky oil: seen', see('milky_oil'));
    expect(session.current.document).toEqual({ number: '7', signs: { milky_oil: 'seen' } });
    expect(server.puts).toHaveLength(0);
    await pass(SAVE_AFTER_MS);
    expect(server.document['signs']).toEqual({ milky_oil: 'seen' });
    expect(session.current.savedWords).toMatch(/^saved \d\d:\d\d:\d\d$/);
    expect(session.current.assessment?.finding.sentence).toContain('milky_oil');
    expect(session.current.findingIsOld).toBe(false);
    expect(store.records.size).toBe(0);
  });

  it('saves changes made close together as one revision', async () => {
    const session = await opened();
    session.change('a', see('a'));
    session.change('b', see('b'));
    await pass(SAVE_AFTER_MS);
    expect(server.puts).toHaveLength(1);
    expect(server.revision).toBe(2);
  });

  it('loses nothing while the server is away and saves when it is back', async () => {
    const session = await opened();
    server.isAway = true;
    session.change('a', see('a'));
    await pass(SAVE_AFTER_MS);
    session.change('b', see('b'));
    await pass(2000);
    expect(session.current.savedWords).toBe('not saved, will retry');
    expect(session.current.serverAway).toBe(true);
    expect(session.hasUnsaved).toBe(true);
    expect(store.get('j')?.changes.map((change) => change.label)).toEqual(['a', 'b']);
    server.isAway = false;
    await pass(20_000);
    expect(server.document['signs']).toEqual({ a: 'seen', b: 'seen' });
    expect(session.hasUnsaved).toBe(false);
    expect(session.current.serverAway).toBe(false);
    expect(store.records.size).toBe(0);
  });

  it('brings unsaved changes back when the page is opened again', async () => {
    const first = await opened();
    server.isAway = true;
    first.change('a', see('a'));
    await pass(SAVE_AFTER_MS);
    first.close();
    server.isAway = false;
    const second = await opened();
    await pass(SAVE_AFTER_MS);
    expect(second.current.document['signs']).toEqual({ a: 'seen' });
    expect(server.document['signs']).toEqual({ a: 'seen' });
    expect(second.hasUnsaved).toBe(false);
  });

  it('opens from the browser when the server is away and there are unsaved changes', async () => {
    const first = await opened();
    server.isAway = true;
    first.change('a', see('a'));
    await pass(SAVE_AFTER_MS);
    first.close();
    const second = await opened();
    expect(second.current.status).toBe('open');
    expect(second.current.document['signs']).toEqual({ a: 'seen' });
    second.change('b', see('b'));
    server.isAway = false;
    await pass(20_000);
    expect(server.document['signs']).toEqual({ a: 'seen', b: 'seen' });
  });

  it('sends a save whose answer was lost again unchanged, so that no revision is made twice', async () => {
    const session = await opened();
    server.losesAnswers = true;
    session.change('a', see('a'));
    await pass(SAVE_AFTER_MS);
    server.losesAnswers = false;
    session.change('b', see('b'));
    await pass(20_000);
    expect(server.puts[1]).toEqual(server.puts[0]);
    expect(server.document['signs']).toEqual({ a: 'seen', b: 'seen' });
    expect(server.revision).toBe(3);
  });

  it('takes the version saved elsewhere and puts its own change on it', async () => {
    const session = await opened();
    server.document = { number: '8', signs: { theirs: 'seen' } };
    server.revision = 5;
    session.change('mine: seen', see('mine'));
    await pass(SAVE_AFTER_MS);
    expect(server.document).toEqual({ number: '8', signs: { theirs: 'seen', mine: 'seen' } });
    expect(session.current.notice).toContain('mine: seen');
    expect(session.current.saveState).toBe('saved');
  });

  it('keeps what the server refuses, shows why, and saves it once it is mended', async () => {
    const session = await opened();
    server.refuses = true;
    session.change('a', see('a', 'nonsense'));
    await pass(SAVE_AFTER_MS);
    expect(session.current.saveState).toBe('refused');
    expect(session.current.problems).toEqual([{ what: 'no' }]);
    expect(session.current.document['signs']).toEqual({ a: 'nonsense' });
    server.refuses = false;
    session.change('a', see('a'));
    await pass(SAVE_AFTER_MS);
    expect(server.document['signs']).toEqual({ a: 'seen' });
  });

  it('learns what the program can work out, also when the server was away at first', async () => {
    const first = await opened();
    expect(first.current.operations).toEqual(['flatness', 'clamp']);
    first.change('a', see('a'));
    server.isAway = true;
    const second = await opened();
    expect(second.current.operations).toEqual([]);
    server.isAway = false;
    await pass(20_000);
    expect(second.current.operations).toEqual(['flatness', 'clamp']);
  });

  it('asks its questions by the engine alone when another entry does not read', async () => {
    server.refuses = true;
    server.document = { engine: 'four', signs: { a: 7 } };
    const session = await opened();
    expect(session.current.questions).toEqual([{ name: 'four' }]);
  });

  it('undoes the last change as a new revision, and only that change', async () => {
    const session = await opened();
    session.change('a', see('a'));
    await pass(2000);
    session.change('b', see('b'));
    await pass(2000);
    expect(session.current.undoLabel).toBe('b');
    session.undo();
    await pass(SAVE_AFTER_MS);
    expect(server.document['signs']).toEqual({ a: 'seen' });
    expect(server.revision).toBe(4);
    session.undo();
    await pass(SAVE_AFTER_MS);
    expect(server.document['signs'] ?? {}).toEqual({});
    expect(session.current.undoLabel).toBe('');
    session.undo();
    expect(session.hasUnsaved).toBe(false);
  });

  it('undoes its own change on a document that was changed elsewhere since', async () => {
    const session = await opened();
    session.change('a', see('a'));
    await pass(2000);
    server.document = { number: '7', signs: { a: 'seen', theirs: 'seen' } };
    server.revision = 9;
    session.undo();
    await pass(2000);
    expect(server.document['signs']).toEqual({ theirs: 'seen' });
  });

  it('makes again what was taken back, until something else is changed', async () => {
    const session = await opened();
    session.change('a', see('a'));
    await pass(2000);
    session.undo();
    await pass(SAVE_AFTER_MS);
    expect(session.current.redoLabel).toBe('a');
    session.redo();
    await pass(2000);
    expect(server.document['signs']).toEqual({ a: 'seen' });
    expect([session.current.undoLabel, session.current.redoLabel]).toEqual(['a', '']);
    session.undo();
    session.change('b', see('b'));
    expect(session.current.redoLabel).toBe('');
  });

  it('lets the reader choose where someone else changed the same entry, also after the page was closed', async () => {
    const first = await opened();
    server.document = { number: '7', signs: { a: 'absent' } };
    server.revision = 5;
    first.change('a: seen', see('a'));
    await pass(SAVE_AFTER_MS);
    expect(first.current.document['signs']).toEqual({ a: 'absent' });
    first.close();
    const session = await opened();
    expect(session.current.conflicts).toMatchObject([{ label: 'a: seen', mine: 'seen', theirs: 'absent' }]);
    session.choose(session.current.conflicts[0]!, 'mine');
    await pass(SAVE_AFTER_MS);
    expect(server.document['signs']).toEqual({ a: 'seen' });
    expect(store.records.size).toBe(0);
  });

  it('finds out about the same entry changed elsewhere while the page was closed', async () => {
    const first = await opened();
    server.isAway = true;
    first.change('a: seen', see('a'));
    await pass(SAVE_AFTER_MS);
    first.close();
    server.isAway = false;
    server.document = { number: '7', signs: { a: 'absent' } };
    server.revision = 2;
    const session = await opened();
    expect(session.current.document['signs']).toEqual({ a: 'absent' });
    session.choose(session.current.conflicts[0]!, 'theirs');
    expect(session.current.conflicts).toEqual([]);
    expect(store.records.size).toBe(0);
  });
});
