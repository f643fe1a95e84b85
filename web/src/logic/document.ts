/** A job document as it travels: plain JSON. Edits are addressed by key, so that they can be put again on a newer document. */

export type Json = null | boolean | number | string | Json[] | Table;
export interface Table {
  [key: string]: Json;
}

/** A key of a table, an index of a list, or the list's element whose keys have these values. */
export type Step = string | number | { match: Record<string, string | number> };
export type Path = readonly Step[];

/** Sets the value at a path; without a value the entry is taken away (an element of a list of texts becomes blank). */
export interface Edit {
  path: Path;
  value?: Json;
}

export function isTable(value: Json | undefined): value is Table {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function indexOf(list: readonly Json[], step: Step): number {
  if (typeof step === 'number') return step;
  if (typeof step === 'string') return -1;
  return list.findIndex((item) => isTable(item) && Object.entries(step.match).every(([key, value]) => String(item[key]) === String(value)));
}

function child(value: Json | undefined, step: Step): Json | undefined {
  if (Array.isArray(value)) return value[indexOf(value, step)];
  return isTable(value) && typeof step === 'string' ? value[step] : undefined;
}

/** The value at a path, or undefined where the path leads nowhere. */
export function valueAt(document: Json | undefined, path: Path): Json | undefined {
  return path.reduce<Json | undefined>(child, document);
}

export function textAt(document: Json | undefined, path: Path): string {
  const value = valueAt(document, path);
  return typeof value === 'string' ? value : typeof value === 'number' ? String(value) : '';
}

function withElement(list: readonly Json[], step: Step, rest: Path, value: Json | undefined): Json[] {
  const copy = [...list];
  const found = indexOf(copy, step);
  const index = found < 0 ? copy.length : found;
  if (rest.length === 0 && value === undefined) {
    if (typeof step === 'number') {
      if (index < copy.length) copy[index] = '';
    } else if (found >= 0) {
      copy.splice(found, 1);
    }
    return copy;
  }
  while (copy.length < index) copy.push('');
  const before = copy[index] ?? (typeof step === 'object' ? { ...step.match } : undefined);
  const after = withValue(before, rest, value);
  if (after !== undefined) copy[index] = after;
  return copy;
}

function withEntry(table: Table, key: string, rest: Path, value: Json | undefined): Table {
  const copy = { ...table };
  const after = withValue(copy[key], rest, value);
  // A table emptied by taking its last answer away says nothing and goes too.
  const isEmptied = rest.length > 0 && value === undefined && isTable(after) && Object.keys(after).length === 0;
  if (after === undefined || isEmptied) delete copy[key];
  else copy[key] = after;
  return copy;
}

function withValue(value: Json | undefined, path: Path, leaf: Json | undefined): Json | undefined {
  const [step, ...rest] = path;
  if (step === undefined) return leaf;
  if (typeof step === 'string') return withEntry(isTable(value) ? value : {}, step, rest, leaf);
  return withElement(Array.isArray(value) ? value : [], step, rest, leaf);
}

/** The document with the edit made; the one given stays as it was. */
export function applyEdit(document: Table, edit: Edit): Table {
  const after = withValue(document, edit.path, edit.value);
  return isTable(after) ? after : document;
}

export function applyEdits(document: Table, edits: readonly Edit[]): Table {
  return edits.reduce(applyEdit, document);
}

/** The edit that takes `edit` back: the earlier value at the first place where something new would begin. */
export function inverseOf(document: Table, edit: Edit): Edit {
  for (let length = 1; length < edit.path.length; ++length) {
    const above = edit.path.slice(0, length);
    const value = valueAt(document, above);
    if (value === undefined || typeof value !== 'object' || value === null) {
      return value === undefined ? { path: above } : { path: above, value };
    }
  }
  const before = valueAt(document, edit.path);
  return before === undefined ? { path: edit.path } : { path: edit.path, value: before };
}

/** Edits that take `edits` back, in the order in which they must be made. */
export function inversesOf(document: Table, edits: readonly Edit[]): Edit[] {
  const inverses: Edit[] = [];
  let current = document;
  for (const edit of edits) {
    inverses.unshift(inverseOf(current, edit));
    current = applyEdit(current, edit);
  }
  return inverses;
}
