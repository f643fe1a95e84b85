/** The plan of an engine as rows of a form: what is typed, its problems, and the document that it makes. */
import { isTable, type Json, type Table } from './document';
import { joinMeasure, readNumber, shownIn } from './number_text';

export const PASSAGE_KINDS = ['coolant', 'oil_pressure', 'oil_drain', 'pushrod', 'vent'] as const;
export type PassageKind = (typeof PASSAGE_KINDS)[number];

export const KIND_TEXTS: Record<string, string> = {
  bore: 'bore',
  bolt: 'bolt',
  coolant: 'coolant',
  oil_pressure: 'oil under pressure',
  oil_drain: 'oil drain',
  pushrod: 'pushrod',
  vent: 'vent',
};

export interface PlaceRow {
  x: string;
  y: string;
  /** What the document holds beside the place. */
  rest: Table;
}

export interface NumberedRow extends PlaceRow {
  number: string;
}

export interface PassageRow extends NumberedRow {
  kind: string;
  diameter: string;
}

export interface Drawing {
  bores: NumberedRow[];
  bolts: PlaceRow[];
  passages: PassageRow[];
  outline: PlaceRow[];
}

export interface FieldProblem {
  field: string;
  text: string;
}

const MOST_MM = 10_000;

function numberText(value: Json | undefined): string {
  return typeof value === 'number' ? String(value) : '';
}

function placeOf(at: Json | undefined): { x: string; y: string } {
  return Array.isArray(at) ? { x: numberText(at[0]), y: numberText(at[1]) } : { x: '', y: '' };
}

function listAt(table: Json | undefined, key: string): Json[] {
  const list = isTable(table) ? table[key] : undefined;
  return Array.isArray(list) ? list : [];
}

function figureText(figure: Json | undefined): string {
  const text = isTable(figure) ? figure['value'] : figure;
  return typeof text === 'string' ? shownIn(text, 'mm') : '';
}

export function readDrawing(document: Table): Drawing {
  const tables = (key: string): Table[] => listAt(document, key).filter(isTable);
  return {
    bores: tables('bore').map((bore) => ({ number: numberText(bore['number']), ...placeOf(bore['at']), rest: bore })),
    bolts: listAt(document['bolts'], 'at').map((at) => ({ ...placeOf(at), rest: {} })),
    passages: tables('passage').map((passage) => ({
      number: numberText(passage['number']),
      kind: typeof passage['kind'] === 'string' ? passage['kind'] : 'coolant',
      ...placeOf(passage['at']),
      diameter: figureText(passage['diameter']),
      rest: passage,
    })),
    outline: listAt(document['head'], 'outline').map((at) => ({ ...placeOf(at), rest: {} })),
  };
}

export function isBlank(row: PlaceRow): boolean {
  return row.x.trim() === '' && row.y.trim() === '';
}

/** A number as typed, or undefined for blank and nonsense. */
export function valueOf(typed: string): number | undefined {
  const read = readNumber(typed);
  return read.kind === 'number' && Math.abs(read.value) <= MOST_MM ? read.value : undefined;
}

function placeProblems(rows: readonly PlaceRow[], name: string, label: string): FieldProblem[] {
  const problems: FieldProblem[] = [];
  rows.forEach((row, index) => {
    if (isBlank(row) && Object.keys(row.rest).length === 0) return;
    for (const side of ['x', 'y'] as const) {
      const read = readNumber(row[side]);
      const field = `${name}-${index + 1}-${side}`;
      const where = `${label} ${index + 1}, ${side}`;
      if (read.kind === 'problem') problems.push({ field, text: `${where}: ${read.what}: ${read.mend}` });
      else if (read.kind === 'blank' && !isBlank(row)) problems.push({ field, text: `${where}: is blank: type both places or neither` });
      else if (read.kind === 'number' && Math.abs(read.value) > MOST_MM) problems.push({ field, text: `${where}: ${row[side]} mm is beyond any head: up to ${MOST_MM} mm` });
    }
  });
  return problems;
}

function numberProblems(rows: readonly NumberedRow[], name: string, label: string): FieldProblem[] {
  const seen = new Set<string>();
  return rows.flatMap((row, index) => {
    const text = row.number.trim();
    const field = `${name}-${index + 1}-number`;
    if (!/^[1-9]\d{0,2}$/.test(text)) return isBlank(row) && text === '' ? [] : [{ field, text: `${label} ${index + 1}: its number must be 1 to 999` }];
    if (seen.has(text)) return [{ field, text: `${label} ${text} stands twice` }];
    seen.add(text);
    return [];
  });
}

export function drawingProblems(drawing: Drawing): FieldProblem[] {
  const diameters = drawing.passages.flatMap((row, index) => {
    const text = row.diameter.trim();
    const read = readNumber(shownIn(text, 'mm'));
    const isFine = text === '' || (read.kind === 'number' && read.value > 0) || /^\d[\d.,/ ]* ?(in|thou|cm)$/.test(text);
    return isFine ? [] : [{ field: `passage-${index + 1}-diameter`, text: `Passage ${index + 1}: the diameter "${text}" is not a length: type 9 or 3/8 in` }];
  });
  const corners = drawing.outline.filter((row) => !isBlank(row)).length;
  const outline = corners === 1 || corners === 2 ? [{ field: 'outline-1-x', text: 'The outline needs at least three corners' }] : [];
  return [
    ...numberProblems(drawing.bores, 'bore', 'Bore'),
    ...placeProblems(drawing.bores, 'bore', 'Bore'),
    ...placeProblems(drawing.bolts, 'bolt', 'Bolt'),
    ...numberProblems(drawing.passages, 'passage', 'Passage'),
    ...placeProblems(drawing.passages, 'passage', 'Passage'),
    ...diameters,
    ...placeProblems(drawing.outline, 'outline', 'Corner'),
    ...outline,
  ];
}

function withPlace(row: PlaceRow): Table {
  const x = valueOf(row.x);
  const y = valueOf(row.y);
  const table: Table = { ...row.rest };
  if (x === undefined || y === undefined) delete table['at'];
  else table['at'] = [x, y];
  return table;
}

function pairsOf(rows: readonly PlaceRow[]): Json[] {
  return rows.flatMap((row) => {
    const x = valueOf(row.x);
    const y = valueOf(row.y);
    return x === undefined || y === undefined ? [] : [[x, y]];
  });
}

function passageTable(row: PassageRow): Table {
  const table: Table = { ...withPlace(row), number: Number(row.number), kind: row.kind };
  // A figure with its source stays as it was until someone types another.
  if (row.diameter.trim() === figureText(row.rest['diameter'])) return table;
  if (row.diameter.trim() === '') delete table['diameter'];
  else table['diameter'] = joinMeasure(row.diameter, 'mm');
  return table;
}

function setOrLeaveOut(table: Table, key: string, list: Json[]): Table {
  const copy = { ...table };
  if (list.length === 0) delete copy[key];
  else copy[key] = list;
  return copy;
}

function withListIn(document: Table, table: string, key: string, list: Json[]): Table {
  const inner = isTable(document[table]) ? (document[table] as Table) : {};
  const after = setOrLeaveOut(inner, key, list);
  const copy = { ...document };
  if (Object.keys(after).length === 0) delete copy[table];
  else copy[table] = after;
  return copy;
}

/** The document with this plan. @pre no problems */
export function withDrawing(document: Table, drawing: Drawing): Table {
  const bores = drawing.bores.filter((row) => row.number.trim() !== '').map((row): Json => ({ ...withPlace(row), number: Number(row.number) }));
  const passages = drawing.passages.filter((row) => row.number.trim() !== '').map((row): Json => passageTable(row));
  let next = setOrLeaveOut(document, 'bore', bores);
  next = setOrLeaveOut(next, 'passage', passages);
  next = withListIn(next, 'bolts', 'at', pairsOf(drawing.bolts));
  return withListIn(next, 'head', 'outline', pairsOf(drawing.outline));
}

/** The next free number among these rows. */
export function nextNumber(rows: readonly NumberedRow[]): string {
  return String(rows.reduce((most, row) => Math.max(most, Number(row.number) || 0), 0) + 1);
}
