/** Two people on one job: what of ours can be put on their version, and where both changed the same entry. */
import { type Edit, isTable, type Json, type Path, type Table, valueAt } from './document';
import type { LabelledEdits } from './unsaved';

/** One entry that both changed since they had it in common. */
export interface Conflict {
  label: string;
  path: Path;
  mine?: Json | undefined; /** undefined: taken away */
  theirs?: Json | undefined;
}

export interface Divided {
  changes: LabelledEdits[]; /** can be put on their version */
  conflicts: Conflict[]; /** someone must choose */
}

const same = (one: Json | undefined, other: Json | undefined): boolean => JSON.stringify(one) === JSON.stringify(other);
const isBlank = (value: Json | undefined): boolean => value === undefined || value === '' || value === null;
const isPlainList = (value: Json | undefined): value is Json[] => Array.isArray(value) && !value.some(isTable);

/** An edit that writes a whole table or list where the others have one too, entry by entry. */
function entriesOf(edit: Edit, theirs: Table): Edit[] {
  const there = valueAt(theirs, edit.path);
  const { value } = edit;
  if (isPlainList(value) && isPlainList(there)) return value.map((one, index) => ({ path: [...edit.path, index], value: one }));
  if (isTable(value) && isTable(there)) return Object.entries(value).flatMap(([key, one]) => entriesOf({ path: [...edit.path, key], value: one }, theirs));
  return [edit];
}

/** Divides our changes, made on `base`, into those that `theirs` can take and those that it contradicts. */
export function divide(base: Table, theirs: Table, changes: readonly LabelledEdits[]): Divided {
  const conflicts = new Map<string, Conflict>();
  const taken = changes.map(({ label, edits }) => ({ label, edits: edits.flatMap((edit) => entriesOf(edit, theirs)).filter((edit) => canTake(label, edit)) }));

  function canTake(label: string, edit: Edit): boolean {
    const before = valueAt(base, edit.path);
    const there = valueAt(theirs, edit.path);
    const key = JSON.stringify(edit.path);
    if (same(there, edit.value)) {
      conflicts.delete(key);
      return false;
    }
    if (same(there, before) || (isBlank(there) && isBlank(before))) return true;
    if (isBlank(edit.value) && isBlank(before)) return false;
    conflicts.set(key, { label, path: edit.path, mine: edit.value, theirs: there });
    return false;
  }

  return { changes: taken.filter(({ edits }) => edits.length > 0), conflicts: [...conflicts.values()] };
}

/** A value of the document in words. */
export function entryText(value: Json | undefined): string {
  if (isBlank(value)) return 'blank';
  if (typeof value === 'string') return value.length > 120 ? `${value.slice(0, 117)}…` : value;
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  if (isPlainList(value)) return value.map(entryText).join('; ');
  if (isTable(value) && typeof value['state'] === 'string') return value['state'];
  const text = JSON.stringify(value);
  return text.length > 120 ? `${text.slice(0, 117)}…` : text;
}
