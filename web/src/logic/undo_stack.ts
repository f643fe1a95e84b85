/** What can be taken back and made again on this page: edits and their inverses. */
import type { Edit } from './document';
import type { LabelledEdits } from './unsaved';

const DEPTH = 100;
const SAME_CHANGE_MS = 600;

export class UndoStack {
  private back: LabelledEdits[] = [];
  private forth: LabelledEdits[] = [];
  private lastAt = 0;
  /** Something was changed on this page: from then on its own steps are gone back, not the server's. */
  isUsed = false;

  get undoLabel(): string {
    return this.back[this.back.length - 1]?.label ?? '';
  }

  get redoLabel(): string {
    return this.forth[this.forth.length - 1]?.label ?? '';
  }

  get stored(): { undo: LabelledEdits[]; redo: LabelledEdits[] } {
    return { undo: this.back, redo: this.forth };
  }

  load(undo: LabelledEdits[] | undefined, redo: LabelledEdits[] | undefined): void {
    this.back = undo ?? [];
    this.forth = redo ?? [];
    this.isUsed ||= this.back.length > 0;
  }

  /** Remembers a change by its inverses. Changes of the same label in quick succession are taken back together. */
  remember(label: string, inverses: Edit[]): void {
    this.isUsed = true;
    const now = Date.now();
    const last = this.back[this.back.length - 1];
    if (last?.label === label && now - this.lastAt < SAME_CHANGE_MS) last.edits = [...inverses, ...last.edits];
    else this.back.push({ label, edits: inverses });
    if (this.back.length > DEPTH) this.back.shift();
    this.forth = [];
    this.lastAt = now;
  }

  /** The change to take back, or to make again; `inversesOf` tells how that is turned round. */
  step(which: 'undo' | 'redo', inversesOf: (edits: Edit[]) => Edit[]): LabelledEdits | undefined {
    const [from, to] = which === 'undo' ? [this.back, this.forth] : [this.forth, this.back];
    const change = from.pop();
    if (!change) return undefined;
    to.push({ label: change.label, edits: inversesOf(change.edits) });
    this.lastAt = 0;
    return change;
  }
}
