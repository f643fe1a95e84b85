/** Measured points of a face: rows of typed cells, and the CSV that the job document carries. */
import { type Edit, type Path, type Table, textAt, valueAt } from './document';
import { canBeJudged, heightCell, INACCESSIBLE } from './face_grid';
import { readNumber } from './number_text';

export type FaceRow = [x: string, y: string, z: string];

export interface FaceUnits {
  place: string;
  height: string;
}

export interface FaceTable {
  units: FaceUnits;
  rows: FaceRow[];
  names?: string[]; /** what the points are called, as the table says or as their place on the path */
}

export interface FacePartChoice {
  part: 'head' | 'block';
  head?: number;
  text: string;
}

export const PLACE_UNITS = ['mm', 'in'] as const;
export const HEIGHT_UNITS = ['mm', 'um', 'thou', 'in'] as const;

function headCount(document: Table): number {
  const heads = valueAt(document, ['engine', 'engine', 'heads']);
  const cylinders = valueAt(document, ['engine', 'engine', 'cylinders']);
  if (heads === 'per_bank') return 2;
  return heads === 'per_cylinder' && typeof cylinders === 'number' ? cylinders : 1;
}

/** The faces this engine has. */
export function faceParts(document: Table): FacePartChoice[] {
  const count = headCount(document);
  const heads: FacePartChoice[] =
    count === 1
      ? [{ part: 'head', text: 'Head' }]
      : Array.from({ length: count }, (_, index) => ({ part: 'head' as const, head: index + 1, text: `Head ${index + 1}` }));
  return [...heads, { part: 'block', text: 'Block' }];
}

export function facePath(choice: FacePartChoice, ...rest: string[]): Path {
  const match = choice.head === undefined ? { part: choice.part } : { part: choice.part, head: choice.head };
  return ['face', { match }, ...rest];
}

export function storedTable(document: Table, choice: FacePartChoice): FaceTable {
  return readTable(textAt(document, facePath(choice, 'table'))) ?? { units: { place: 'mm', height: 'mm' }, rows: [] };
}

// A point without its place is no reading: it goes into the table as a remark, so that the rest still reads and nothing is lost.
const OPEN_MARK = '#open;';

function writeRow(row: FaceRow, name: string | undefined): string {
  const cells = row.map((cell) => cell.trim().replace(/[;\n]/g, ' '));
  const isOpen = cells[0] === '' || cells[1] === '';
  return (isOpen ? OPEN_MARK : '') + (name === undefined ? cells : [name.replace(/[;\n]/g, ' '), ...cells]).join(';');
}

/**
 * The table as the document carries it: semicolons, so that a decimal comma stays as typed. Rows without any text are left out;
 * a blank height was not measured. Without a single point that has its place there is no table yet and the answer is "".
 */
export function writeTable(table: FaceTable): string {
  const { units, names } = table;
  const rows = table.rows.map((row, index) => ({ row, name: names?.[index] ?? (names ? String(index + 1) : undefined) })).filter(({ row }) => row.some((cell) => cell.trim() !== ''));
  if (!rows.some(({ row }) => row[0].trim() !== '' && row[1].trim() !== '')) return '';
  const head = `${names ? 'point;' : ''}x_${units.place};y_${units.place};z_${units.height}`;
  return `${[head, ...rows.map(({ row, name }) => writeRow(row, name))].join('\n')}\n`;
}

/** Stands in the job file as the reason why a face does not count yet. */
export const UNFINISHED = 'still being measured';

/** Edits that keep a table. Before it can be judged it is marked as unfinished, so that the rest of the job is still assessed. */
export function tableEdits(document: Table, choice: FacePartChoice, table: FaceTable): Edit[] {
  const text = writeTable(table);
  if (text === '') return [{ path: facePath(choice) }];
  const edits: Edit[] = [{ path: facePath(choice, 'table'), value: text }];
  const reason = textAt(document, facePath(choice, 'void'));
  const isReady = canBeJudged(table);
  if (!isReady && reason === '') edits.push({ path: facePath(choice, 'void'), value: UNFINISHED });
  if (isReady && reason === UNFINISHED) edits.push({ path: facePath(choice, 'void') });
  return edits;
}

function separatorOf(line: string): string {
  const count = (mark: string): number => line.split(mark).length - 1;
  return ['\t', ';', ','].reduce((best, mark) => (count(mark) > count(best) ? mark : best), '\t');
}

interface Columns {
  x: number;
  y: number;
  z: number;
  name: number; /** -1 where the table does not say what its points are called */
  units: FaceUnits;
}

function unitIn(heading: string, otherwise: string): string {
  const unit = /[_ (]+(mm|um|µm|thou|in)\)?$/i.exec(heading.trim())?.[1]?.toLowerCase();
  return unit === undefined ? otherwise : unit === 'µm' ? 'um' : unit;
}

function columnsOf(cells: readonly string[]): Columns | undefined {
  const find = (letter: string): number => cells.findIndex((cell) => new RegExp(`^"?${letter}([_ (]|"?$)`, 'i').test(cell.trim()));
  const [x, y, z] = [find('x'), find('y'), find('z')];
  if (x < 0 || y < 0 || z < 0) return undefined;
  const name = cells.findIndex((cell) => /^"?(point|number)"?$/i.test(cell.trim()));
  return { x, y, z, name, units: { place: unitIn(cells[x] ?? '', 'mm'), height: unitIn(cells[z] ?? '', 'mm') } };
}

/** Reads a pasted or stored block: tab, semicolon or comma, a header with x, y and z, or three bare columns. Undefined when it is no table. */
export function readTable(text: string): FaceTable | undefined {
  const lines = text
    .split(/\r?\n/)
    .map((line) => (line.startsWith(OPEN_MARK) ? line.slice(OPEN_MARK.length) : line))
    .filter((line) => line.trim() !== '' && !line.trim().startsWith('#'));
  const first = lines[0];
  if (first === undefined) return undefined;
  const mark = separatorOf(first);
  const cellsOf = (line: string): string[] => line.split(mark).map((cell) => cell.trim().replace(/^"(.*)"$/, '$1'));
  const named = columnsOf(cellsOf(first));
  if (!named && cellsOf(first).length !== 3) return undefined;
  const columns: Columns = named ?? { x: 0, y: 1, z: 2, name: -1, units: { place: 'mm', height: 'mm' } };
  const rows = (named ? lines.slice(1) : lines).map(cellsOf);
  const table: FaceTable = { units: columns.units, rows: rows.map((cells) => [cells[columns.x] ?? '', cells[columns.y] ?? '', heightCell(cells[columns.z] ?? '')]) };
  return columns.name < 0 ? table : { ...table, names: rows.map((cells) => cells[columns.name] ?? '') };
}

/** What is wrong with a cell; "" when it reads or is blank. */
export function cellDoubt(cell: string): string {
  if (heightCell(cell) === INACCESSIBLE) return '';
  const number = readNumber(cell);
  return number.kind === 'problem' ? `${number.what}: ${number.mend}.` : '';
}

/** The table as it can be judged while it is typed: a height that does not read yet counts as not measured. */
export function readablePart(table: FaceTable): FaceTable {
  return { ...table, rows: table.rows.map((row) => (cellDoubt(row[2]) === '' ? row : [row[0], row[1], ''])) };
}

/** Points with a height; a blank height was not measured and is not zero. */
export function measuredCount(table: FaceTable): number {
  return table.rows.filter((row) => row.every((cell) => readNumber(cell).kind === 'number')).length;
}
