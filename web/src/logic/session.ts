/**
 * One job on the bench: its document, what is saved, what the server makes of it.
 *
 * A change is made on the document at once, kept in the browser, and saved a moment later. One save is on its way at a time; a
 * save whose answer was lost is sent again unchanged, so that the server can give the first answer again. When someone else saved
 * meanwhile, their document is taken and our unsaved edits are put on it by key; where both changed the same entry, theirs stands
 * until the reader has chosen.
 */
import { type Api, ApiFailure } from './api';
import { emptyView, savedWords, type SessionView } from './session_view';
import { type Conflict, divide } from './conflict';
import type { Saved, StoredJob } from './contract';
import { applyEdits, type Edit, inversesOf, type Table } from './document';
import { UndoStack } from './undo_stack';
import type { LabelledEdits, UnsavedRecord, UnsavedStore } from './unsaved';
import { clockText, momentText, savedText } from './wording';

export type { SaveState, SessionView } from './session_view';

export const SAVE_AFTER_MS = 20;
const RETRY_MS = [1000, 2000, 4000, 8000];

interface Sending {
  revision: number;
  document: Table;
  changes: LabelledEdits[];
  saveId: string;
}

const SAVE_ID_LETTERS = 16;
const newSaveId = (): string => Array.from(crypto.getRandomValues(new Uint8Array(SAVE_ID_LETTERS)), (byte) => (byte % 36).toString(36)).join('');

const editsOf = (changes: readonly LabelledEdits[]): Edit[] => changes.flatMap((change) => change.edits);

export class JobSession {
  private view: SessionView;
  private readonly listeners = new Set<(view: SessionView) => void>();
  private waiting: LabelledEdits[] = [];
  private sending: Sending | undefined;
  private base: Table = {}; /** the version that the unsaved changes were made on */
  private readonly steps = new UndoStack();
  private onServer: Pick<Saved, 'undo' | 'redo'> = {}; /** what the server could take back or make again */
  private saveTimer: ReturnType<typeof setTimeout> | undefined;
  private retryTimer: ReturnType<typeof setTimeout> | undefined;
  private failures = 0;
  private isBusy = false;
  private isClosed = false;
  private changeCount = 0;
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
      if (stored.binned_at !== undefined) return this.show({ status: 'binned', notice: `Removed ${momentText(stored.binned_at)}${stored.who ? ` by ${stored.who}` : ''}. Nothing of it is lost.` });
      this.takeStored(stored);
    } catch (failure) {
      this.openWithoutServer(failure);
      return;
    }
    await Promise.all([this.loadOperations(), this.loadQuestions(), this.hasUnsaved ? this.save() : this.assess()]);
  }

  private takeStored(stored: StoredJob): void {
    const record = this.store.get(this.id);
    this.steps.load(record?.undo, record?.redo);
    this.onServer = stored;
    const mine = record?.changes ?? [];
    const isOvertaken = record?.base !== undefined && record.revision !== stored.revision;
    const { changes, conflicts } = isOvertaken ? divide(record.base ?? {}, stored.document, mine) : { changes: mine, conflicts: [] };
    this.waiting = changes;
    this.base = stored.document;
    const notice = changes.length > 0 ? 'Changes that could not be saved before were put back and are being saved.' : '';
    const savedAt = savedText(stored.changed_at, new Date());
    this.show({ status: 'open', document: applyEdits(stored.document, editsOf(changes)), revision: stored.revision, savedAt, saveState: 'saved', serverAway: false, notice, conflicts: [...(record?.conflicts ?? []), ...conflicts] });
    if (record) this.keep();
  }

  private openWithoutServer(failure: unknown): void {
    if (failure instanceof ApiFailure && (failure.kind === 'missing' || failure.kind === 'binned')) {
      this.show({ status: failure.kind, notice: failure.kind === 'binned' ? failure.message : '' });
      return;
    }
    const record = this.store.get(this.id);
    if (record) this.openKept(record);
    else this.show({ status: 'away' });
    this.serverIsAway();
  }

  private openKept(record: UnsavedRecord): void {
    this.waiting = record.changes;
    this.base = record.base ?? record.document;
    this.steps.load(record.undo, record.redo);
    this.show({ status: 'open', document: record.document, revision: record.revision, saveState: 'waiting', conflicts: record.conflicts ?? [] });
  }

  /** Makes a change. */
  change(label: string, edits: readonly Edit[]): void {
    if (edits.length === 0 || this.view.status !== 'open') return;
    this.steps.remember(label, inversesOf(this.view.document, edits));
    this.make(label, edits);
  }

  undo(): void {
    this.turn('undo', 'Undo', 'Taken back');
  }

  redo(): void {
    this.turn('redo', 'Redo', 'Made again');
  }

  private turn(which: 'undo' | 'redo', name: string, said: string): void {
    const step = this.steps.step(which, (edits) => inversesOf(this.view.document, edits));
    if (!step) return void this.turnOnServer(which, said);
    this.make(`${name}: ${step.label}`, step.edits);
    this.show({ notice: `${said}: ${step.label}` });
  }

  /** What was changed before this page was opened is taken back by the server, as a revision of its own. */
  private async turnOnServer(which: 'undo' | 'redo', said: string): Promise<void> {
    const note = this.onServer[which]?.note;
    if (note === undefined || this.steps.isUsed || this.hasUnsaved || this.isBusy) return;
    try {
      this.takeTurned(await this.api.turnBack(this.id, this.view.revision, which), `${said}: ${note}`);
    } catch (failure) {
      if (failure instanceof ApiFailure && failure.kind === 'conflict' && failure.current) return this.takeTurned(failure.current, 'This job was also changed elsewhere. That version was taken.');
      this.show({ notice: failure instanceof ApiFailure ? failure.message : 'This could not be taken back.' });
    }
  }

  private takeTurned(stored: StoredJob, notice: string): void {
    this.base = stored.document;
    this.onServer = stored;
    ++this.changeCount;
    this.show({ document: stored.document, revision: stored.revision, savedAt: savedText(stored.changed_at, new Date()), notice });
    void this.loadQuestions();
    void this.assess();
  }

  /** Someone else changed the same entry: ours, or theirs as it stands. */
  choose(conflict: Conflict, whose: 'mine' | 'theirs'): void {
    this.show({ conflicts: this.view.conflicts.filter((one) => one !== conflict) });
    if (whose === 'mine') this.change(conflict.label, [conflict.mine === undefined ? { path: conflict.path } : { path: conflict.path, value: conflict.mine }]);
    this.keep();
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

  private make(label: string, edits: readonly Edit[]): void {
    this.waiting.push({ label, edits: [...edits] });
    ++this.changeCount;
    const document = applyEdits(this.view.document, edits);
    this.show({ document, saveState: this.view.serverAway ? 'waiting' : 'saving', notice: '', findingIsOld: true });
    this.keep();
    clearTimeout(this.saveTimer);
    this.saveTimer = setTimeout(() => void this.save(), SAVE_AFTER_MS);
  }

  private unsaved(): LabelledEdits[] {
    return [...(this.sending?.changes ?? []), ...this.waiting];
  }

  private keep(): void {
    const { document, revision, conflicts } = this.view;
    if (!this.hasUnsaved && conflicts.length === 0) {
      this.store.drop(this.id);
      return;
    }
    const record = { revision, document, changes: this.unsaved(), base: this.base, conflicts: [...conflicts], ...this.steps.stored };
    this.show({ isKept: this.store.keep(this.id, record) });
  }

  private async save(): Promise<void> {
    clearTimeout(this.saveTimer);
    if (this.isBusy || !this.hasUnsaved) return;
    this.isBusy = true;
    this.sending ??= { revision: this.view.revision, document: this.view.document, changes: this.waiting.splice(0), saveId: newSaveId() };
    const { revision, document, changes, saveId } = this.sending;
    try {
      const saved = await this.api.save(this.id, revision, document, changes.map((change) => change.label).join('; ').slice(0, 200), saveId);
      this.wasSaved(saved, document);
    } catch (failure) {
      await this.wasNotSaved(failure);
    } finally {
      this.isBusy = false;
    }
    if (this.waiting.length > 0 && !this.sending && this.view.saveState === 'saving') void this.save();
    else if (this.view.saveState === 'saved' && !this.isClosed) await this.assess();
  }

  private wasSaved(saved: Saved, document: Table): void {
    const { revision } = saved;
    this.sending = undefined;
    this.base = document;
    this.onServer = saved;
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
    if (kind === 'binned') {
      this.show({ status: 'binned', notice: `${message} What you typed is kept in this browser and put on the job when it is brought back.`, saveState: 'waiting' });
      return this.keep();
    }
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
    const { changes, conflicts } = divide(this.base, theirs.document, this.waiting);
    this.waiting = changes;
    this.base = theirs.document;
    this.onServer = theirs;
    const labels = changes.map((change) => change.label).join('; ');
    const put = labels === '' ? '' : ` Your change was put on it again: ${labels}.`;
    this.show({
      document: applyEdits(theirs.document, editsOf(changes)),
      revision: theirs.revision,
      saveState: changes.length > 0 ? 'saving' : 'saved',
      conflicts: [...this.view.conflicts, ...conflicts],
      notice: `This job was also changed elsewhere${theirs.who ? `, by ${theirs.who}` : ''}. That version was taken.${put}`,
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
    const { undo, redo }: Pick<Saved, 'undo' | 'redo'> = this.steps.isUsed ? {} : this.onServer;
    const undoLabel = this.steps.undoLabel || (undo?.note ?? '');
    const redoLabel = this.steps.redoLabel || (redo?.note ?? '');
    this.view = { ...next, undoLabel, redoLabel, savedWords: savedWords(next) };
    for (const listener of this.listeners) listener(this.view);
  }
}
