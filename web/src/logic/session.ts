/**
 * One job on the bench: its document, what is saved, what the server makes of it.
 *
 * A change is made on the document at once, kept in the browser, and saved a moment later. One save is on its way at a time; a
 * save whose answer was lost is sent again unchanged, so that the server can give the first answer again. When someone else saved
 * meanwhile, their document is taken and our unsaved edits are put on it by key.
 */
import { type Api, ApiFailure } from './api';
import type { Assessment, Problem, Question, StoredJob } from './contract';
import { applyEdits, type Edit, inversesOf, type Table } from './document';
import type { LabelledEdits, UnsavedStore } from './unsaved';
import { clockText, savedText } from './wording';

export type SaveState = 'saved' | 'saving' | 'waiting' | 'refused';

export interface SessionView {
  id: string;
  status: 'opening' | 'open' | 'missing' | 'away';
  document: Table;
  revision: number;
  saveState: SaveState;
  savedAt: string; /** of the day, "14:02:11"; "" before the first save */
  savedWords: string;
  isKept: boolean; /** unsaved changes are in the browser's storage */
  serverAway: boolean;
  questions: Question[];
  operations: readonly string[]; /** what this program can work out; empty until it has told */
  assessment: Assessment | undefined;
  findingAt: string;
  findingIsOld: boolean;
  problems: Problem[];
  notice: string;
  undoLabel: string; /** of the change that Undo would take back; "" when there is none */
}

export const SAVE_AFTER_MS = 20;
const RETRY_MS = [1000, 2000, 4000, 8000];
const UNDO_DEPTH = 100;
const SAME_CHANGE_MS = 600;

interface Sending {
  revision: number;
  document: Table;
  changes: LabelledEdits[];
}

function emptyView(id: string): SessionView {
  return {
    id,
    status: 'opening',
    document: {},
    revision: 0,
    saveState: 'saved',
    savedAt: '',
    savedWords: '',
    isKept: true,
    serverAway: false,
    questions: [],
    operations: [],
    assessment: undefined,
    findingAt: '',
    findingIsOld: false,
    problems: [],
    notice: '',
    undoLabel: '',
  };
}

const editsOf = (changes: readonly LabelledEdits[]): Edit[] => changes.flatMap((change) => change.edits);

export class JobSession {
  private view: SessionView;
  private readonly listeners = new Set<(view: SessionView) => void>();
  private waiting: LabelledEdits[] = [];
  private sending: Sending | undefined;
  private undoStack: LabelledEdits[] = [];
  private saveTimer: ReturnType<typeof setTimeout> | undefined;
  private retryTimer: ReturnType<typeof setTimeout> | undefined;
  private failures = 0;
  private isBusy = false;
  private isClosed = false;
  private changeCount = 0;
  private lastChangeAt = 0;
  private assessedAtChange = -1;

  constructor(
    readonly id: string,
    private readonly api: Api,
    private readonly store: UnsavedStore,
  ) {
    this.view = emptyView(id);
  }

  /** The contract of a readable store: calls at once, then after every change. */
  subscribe(listener: (view: SessionView) => void): () => void {
    this.listeners.add(listener);
    listener(this.view);
    return () => this.listeners.delete(listener);
  }

  get current(): SessionView {
    return this.view;
  }

  get hasUnsaved(): boolean {
    return this.waiting.length > 0 || this.sending !== undefined;
  }

  close(): void {
    this.isClosed = true;
    clearTimeout(this.saveTimer);
    clearTimeout(this.retryTimer);
    if (this.waiting.length > 0 && !this.sending && this.view.saveState !== 'refused') void this.save();
  }

  async open(): Promise<void> {
    try {
      const stored = await this.api.job(this.id);
      this.takeStored(stored);
    } catch (failure) {
      this.openWithoutServer(failure);
      return;
    }
    await Promise.all([this.loadOperations(), this.loadQuestions(), this.hasUnsaved ? this.save() : this.assess()]);
  }

  private takeStored(stored: StoredJob): void {
    const record = this.store.get(this.id);
    this.waiting = record?.changes ?? [];
    this.undoStack = record?.undo ?? [];
    const document = applyEdits(stored.document, editsOf(this.waiting));
    const notice = this.waiting.length > 0 ? 'Changes that could not be saved before were put back and are being saved.' : '';
    const savedAt = savedText(stored.changed_at, new Date());
    this.show({ status: 'open', document, revision: stored.revision, savedAt, serverAway: false, notice, undoLabel: this.nextUndo() });
  }

  private openWithoutServer(failure: unknown): void {
    if (failure instanceof ApiFailure && failure.kind === 'missing') {
      this.show({ status: 'missing' });
      return;
    }
    const record = this.store.get(this.id);
    if (record) {
      this.waiting = record.changes;
      this.undoStack = record.undo;
      this.show({ status: 'open', document: record.document, revision: record.revision, saveState: 'waiting', undoLabel: this.nextUndo() });
    } else {
      this.show({ status: 'away' });
    }
    this.serverIsAway();
  }

  /** Makes a change. Changes of the same label in quick succession are taken back together. */
  change(label: string, edits: readonly Edit[]): void {
    if (edits.length === 0 || this.view.status !== 'open') return;
    this.remember(label, inversesOf(this.view.document, edits));
    this.make(label, edits);
  }

  undo(): void {
    const last = this.undoStack.pop();
    if (!last) return;
    this.lastChangeAt = 0;
    this.make(`Undo: ${last.label}`, last.edits);
    this.show({ notice: `Taken back: ${last.label}` });
  }

  /** The reader has seen the notice. */
  dismissNotice(): void {
    this.show({ notice: '' });
  }

  /** Tries now instead of waiting for the next attempt. */
  tryNow(): void {
    clearTimeout(this.retryTimer);
    void this.catchUp();
  }

  private remember(label: string, inverses: Edit[]): void {
    const now = Date.now();
    const last = this.undoStack[this.undoStack.length - 1];
    const isSame = last?.label === label && now - this.lastChangeAt < SAME_CHANGE_MS;
    if (isSame) last.edits = [...inverses, ...last.edits];
    else this.undoStack.push({ label, edits: inverses });
    if (this.undoStack.length > UNDO_DEPTH) this.undoStack.shift();
    this.lastChangeAt = now;
  }

  private make(label: string, edits: readonly Edit[]): void {
    this.waiting.push({ label, edits: [...edits] });
    ++this.changeCount;
    const document = applyEdits(this.view.document, edits);
    this.show({ document, saveState: this.view.serverAway ? 'waiting' : 'saving', notice: '', findingIsOld: true, undoLabel: this.nextUndo() });
    this.keep();
    clearTimeout(this.saveTimer);
    this.saveTimer = setTimeout(() => void this.save(), SAVE_AFTER_MS);
  }

  private nextUndo(): string {
    return this.undoStack[this.undoStack.length - 1]?.label ?? '';
  }

  private unsaved(): LabelledEdits[] {
    return [...(this.sending?.changes ?? []), ...this.waiting];
  }

  private keep(): void {
    if (!this.hasUnsaved) {
      this.store.drop(this.id);
      return;
    }
    const { document, revision } = this.view;
    this.show({ isKept: this.store.keep(this.id, { revision, document, changes: this.unsaved(), undo: this.undoStack }) });
  }

  private async save(): Promise<void> {
    clearTimeout(this.saveTimer);
    if (this.isBusy || !this.hasUnsaved) return;
    this.isBusy = true;
    this.sending ??= { revision: this.view.revision, document: this.view.document, changes: this.waiting.splice(0) };
    const { revision, document, changes } = this.sending;
    try {
      const saved = await this.api.save(this.id, revision, document, changes.map((change) => change.label).join('; ').slice(0, 200));
      this.wasSaved(saved.revision);
    } catch (failure) {
      await this.wasNotSaved(failure);
    } finally {
      this.isBusy = false;
    }
    if (this.waiting.length > 0 && !this.sending && this.view.saveState === 'saving') void this.save();
    else if (this.view.saveState === 'saved' && !this.isClosed) await this.assess();
  }

  private wasSaved(revision: number): void {
    this.sending = undefined;
    this.failures = 0;
    clearTimeout(this.retryTimer);
    const at = clockText(new Date());
    this.show({ revision, serverAway: false, saveState: this.waiting.length > 0 ? 'saving' : 'saved', savedAt: at });
    this.keep();
  }

  private async wasNotSaved(failure: unknown): Promise<void> {
    const kind = failure instanceof ApiFailure ? failure.kind : 'broken';
    if (kind === 'conflict') return this.takeTheirs((failure as ApiFailure).current);
    if (kind === 'away' || kind === 'broken') {
      this.show({ saveState: 'waiting' });
      this.serverIsAway();
      return;
    }
    const { message, problems } = failure as ApiFailure;
    this.putBackSending();
    this.show({ saveState: 'refused', problems: problems.length > 0 ? problems : [{ what: message }] });
    this.keep();
  }

  private putBackSending(): void {
    this.waiting = this.unsaved();
    this.sending = undefined;
  }

  private async takeTheirs(current: StoredJob | undefined): Promise<void> {
    let theirs = current;
    try {
      theirs ??= await this.api.job(this.id);
    } catch {
      this.show({ saveState: 'waiting' });
      this.serverIsAway();
      return;
    }
    if (theirs.revision === this.view.revision) return this.serverContradicts();
    this.putBackSending();
    const labels = this.waiting.map((change) => change.label).join('; ');
    this.show({
      document: applyEdits(theirs.document, editsOf(this.waiting)),
      revision: theirs.revision,
      saveState: 'saving',
      notice: `This job was also changed elsewhere. That version was taken and your change put on it again: ${labels}.`,
    });
    this.keep();
  }

  /** Refused as overtaken, although nobody saved: wait rather than ask again at once. */
  private serverContradicts(): void {
    this.putBackSending();
    this.show({ saveState: 'waiting' });
    this.serverIsAway();
  }

  private serverIsAway(): void {
    if (this.isClosed) return;
    const wait = RETRY_MS[Math.min(this.failures, RETRY_MS.length - 1)] ?? 8000;
    ++this.failures;
    this.show({ serverAway: true });
    clearTimeout(this.retryTimer);
    this.retryTimer = setTimeout(() => void this.catchUp(), wait);
  }

  private async catchUp(): Promise<void> {
    if (this.isClosed) return;
    if (this.view.status !== 'open' || this.view.questions.length === 0) {
      if (!this.hasUnsaved || this.view.status !== 'open') return this.open();
      await this.loadQuestions();
    }
    if (this.view.operations.length === 0) await this.loadOperations();
    if (this.hasUnsaved) return this.save();
    return this.assess();
  }

  /** Without an answer the steps that need an operation stay hidden; asked again when the server is back. */
  private async loadOperations(): Promise<void> {
    const operations = await this.api.operations().catch(() => []);
    if (operations.length > 0) this.show({ operations });
  }

  /** A job with an entry that does not read must still show its fields, or the entry could never be mended. */
  private async loadQuestions(): Promise<void> {
    try {
      this.show({ questions: await this.api.questions(this.id) });
    } catch (failure) {
      if (!(failure instanceof ApiFailure) || failure.kind !== 'refused') return;
      this.show({ problems: failure.problems });
      const questions = await this.api.questionsForEngine(this.view.document).catch(() => []);
      this.show({ questions });
    }
  }

  private async assess(): Promise<void> {
    const asOf = this.changeCount;
    try {
      const assessment = await this.api.assessment(this.id);
      if (asOf < this.assessedAtChange) return;
      this.assessedAtChange = asOf;
      this.failures = 0;
      const isOld = asOf !== this.changeCount;
      this.show({ assessment, problems: assessment.warnings ?? [], findingAt: clockText(new Date()), findingIsOld: isOld, serverAway: false });
    } catch (failure) {
      this.couldNotAssess(failure);
    }
  }

  private couldNotAssess(failure: unknown): void {
    if (!(failure instanceof ApiFailure) || failure.kind === 'away' || failure.kind === 'broken') {
      this.show({ findingIsOld: true });
      this.serverIsAway();
      return;
    }
    const problems = failure.problems.length > 0 ? failure.problems : [{ what: failure.message }];
    this.show({ problems, findingIsOld: true, serverAway: false });
  }

  private show(change: Partial<SessionView>): void {
    const next = { ...this.view, ...change };
    this.view = { ...next, savedWords: savedWords(next) };
    for (const listener of this.listeners) listener(this.view);
  }
}

function savedWords(view: SessionView): string {
  switch (view.saveState) {
    case 'saving':
      return 'saving';
    case 'waiting':
      return 'not saved, will retry';
    case 'refused':
      return 'not saved: there is a problem';
    case 'saved':
      return `saved ${view.savedAt}`;
  }
}
