/** A face measured on a lattice of points: how it is laid out, in which order it is walked, what a pasted block fills. */
import { isTable, type Json, type Table, valueAt } from './document';
import type { FaceRow, FaceTable } from './face_points';
import { readNumber, splitMeasure } from './number_text';
import { lengthIn } from './units';

/** How the measuring path goes through the rows. */
export const PATHS = [
  { id: 'turning', text: 'rows, back and forth' },
  { id: 'rows', text: 'rows, each from the front' },
  { id: 'columns', text: 'columns, each from the right side' },
] as const;
export type PathKind = (typeof PATHS)[number]['id'];

/** Columns lie along the crank (x), rows across it (y). Texts as typed, in the table's unit of place. The first row walked is the one farthest from the left side, as the drawing has it on top. */
export interface Layout {
  columns: string;
  rows: string;
  columnSpacing: string;
  rowSpacing: string;
  firstX: string;
  firstY: string;
}

export interface Hole {
  x: number;
  y: number;
  radius: number;
}

/** The lattice that a table's points lie on, as drawn: front at the left, left side below. Cell [row][column] is an index of the table's rows. */
export interface Grid {
  xs: string[];
  ys: string[];
  cells: number[][];
}

export const INACCESSIBLE = 'inaccessible';
const MOST_ACROSS = 60;
const FEWEST_POINTS = 4;
const FEWEST_ON_GRID = 6;

const numberOf = (text: string): number => {
  const read = readNumber(text);
  return read.kind === 'number' ? read.value : NaN;
};

export interface LayoutProblem {
  field: keyof Layout;
  text: string;
}

export function layoutProblems(layout: Layout): LayoutProblem[] {
  const problems: LayoutProblem[] = [];
  for (const field of ['columns', 'rows'] as const) {
    const count = numberOf(layout[field]);
    if (!(Number.isInteger(count) && count >= 2 && count <= MOST_ACROSS)) problems.push({ field, text: `Type how many ${field} there are, 2 to ${MOST_ACROSS}` });
  }
  for (const field of ['columnSpacing', 'rowSpacing'] as const) {
    if (!(numberOf(layout[field]) > 0)) problems.push({ field, text: 'Type the distance between two neighbours, more than 0' });
  }
  for (const field of ['firstX', 'firstY'] as const) {
    if (Number.isNaN(numberOf(layout[field]))) problems.push({ field, text: 'Type where the first point lies, such as 10' });
  }
  return problems;
}

/** A coordinate without a tail of binary digits. */
const placeText = (value: number): string => String(Number(value.toFixed(4)));

function walked(columns: number, rows: number, path: PathKind): [row: number, column: number][] {
  const order: [number, number][] = [];
  if (path === 'columns') {
    for (let column = 0; column < columns; ++column) for (let row = 0; row < rows; ++row) order.push([row, column]);
    return order;
  }
  for (let row = 0; row < rows; ++row) {
    const isBack = path === 'turning' && row % 2 === 1;
    for (let step = 0; step < columns; ++step) order.push([row, isBack ? columns - 1 - step : step]);
  }
  return order;
}

/** The points of a layout in the order of the path, none measured; those over a hole are marked as not accessible. */
export function laidOut(layout: Layout, path: PathKind, holes: readonly Hole[]): FaceRow[] {
  const rows = numberOf(layout.rows);
  const order = walked(numberOf(layout.columns), rows, path);
  return order.map(([row, column]) => {
    const x = numberOf(layout.firstX) + column * numberOf(layout.columnSpacing);
    const y = numberOf(layout.firstY) + (rows - 1 - row) * numberOf(layout.rowSpacing);
    const isOverHole = holes.some((hole) => Math.hypot(x - hole.x, y - hole.y) <= hole.radius);
    return [placeText(x), placeText(y), isOverHole ? INACCESSIBLE : ''];
  });
}

/** The lattice of a table, or undefined when its points lie on none: too few, a missing place, one twice, one beside the rest. */
export function gridOf(table: FaceTable): Grid | undefined {
  const distinct = (column: 0 | 1): string[] => {
    const texts = new Map(table.rows.map((row) => [numberOf(row[column]), row[column]]));
    return [...texts].sort(([one], [other]) => one - other).map(([, text]) => text);
  };
  const [xs, ys] = [distinct(0), distinct(1).reverse()];
  if (xs.length < 2 || ys.length < 2 || xs.length * ys.length < FEWEST_ON_GRID || xs.length * ys.length !== table.rows.length) return undefined;
  if ([...xs, ...ys].some((text) => Number.isNaN(numberOf(text)))) return undefined;
  const index = (texts: string[], text: string): number => texts.findIndex((one) => numberOf(one) === numberOf(text));
  const cells: number[][] = ys.map(() => xs.map(() => -1));
  table.rows.forEach((row, place) => {
    const line = cells[index(ys, row[1])];
    if (line) line[index(xs, row[0])] = place;
  });
  return cells.some((line) => line.includes(-1)) ? undefined : { xs, ys, cells };
}

export interface CellPlace {
  row: number;
  column: number;
}

/** Where an index of the table's rows lies on the lattice. */
export function placeOf(grid: Grid, index: number): CellPlace {
  const row = grid.cells.findIndex((line) => line.includes(index));
  return { row, column: grid.cells[row]?.indexOf(index) ?? -1 };
}

/** The next point of the path that can be measured, from `from` on in steps of +1 or -1; -1 at its end. */
export function nextOnPath(rows: readonly FaceRow[], from: number, step: 1 | -1): number {
  for (let index = from + step; index >= 0 && index < rows.length; index += step) {
    if (rows[index]?.[2] !== INACCESSIBLE) return index;
  }
  return -1;
}

/** The neighbour in a direction, over cells that are not accessible; -1 at the edge. */
export function neighbour(grid: Grid, rows: readonly FaceRow[], index: number, down: number, right: number): number {
  const place = placeOf(grid, index);
  for (let { row, column } = place; ; ) {
    row += down;
    column += right;
    const found = grid.cells[row]?.[column];
    if (found === undefined) return -1;
    if (rows[found]?.[2] !== INACCESSIBLE) return found;
  }
}

/** What a person may type for a point that no stylus reaches. */
export function heightCell(typed: string): string {
  return /^(n\/?a|inacc\w*|x)$/i.test(typed.trim()) ? INACCESSIBLE : typed;
}

/** The height with its sign turned; what does not read stays. */
export function signTurned(cell: string): string {
  const text = cell.trim();
  if (text === '' || text === INACCESSIBLE) return cell;
  if (/^[-\u2212]/.test(text)) return text.slice(1);
  return `-${text.replace(/^\+/, '')}`;
}

export interface Pasted {
  rows: FaceRow[];
  taken: number;
  leftOver: number; /** cells of the block that lie beyond the lattice */
}

/** A block copied from a spreadsheet, its first cell put at `at`. Blank cells of the block leave nothing measured. */
export function pasted(text: string, grid: Grid, rows: readonly FaceRow[], at: number): Pasted {
  const lines = text.replace(/\r/g, '').replace(/\n+$/, '').split('\n');
  const mark = text.includes('\t') ? '\t' : ';';
  const next = rows.map((row) => [...row] as FaceRow);
  const start = placeOf(grid, at);
  let [taken, leftOver] = [0, 0];
  lines.forEach((line, down) =>
    line.split(mark).forEach((cell, right) => {
      const index = grid.cells[start.row + down]?.[start.column + right];
      const row = index === undefined ? undefined : next[index];
      if (!row) {
        if (cell.trim() !== '') ++leftOver;
        return;
      }
      row[2] = heightCell(cell.trim());
      ++taken;
    }),
  );
  return { rows: next, taken, leftOver };
}

const textOf = (value: Json | undefined): string => (typeof value === 'string' ? value : isTable(value) && typeof value['value'] === 'string' ? value['value'] : '');

const MM_PER: Record<string, number> = { mm: 1, cm: 10, um: 0.001, in: 25.4, thou: 0.0254 };

/** A length of the engine file in millimetres; NaN when it is not there. */
export function engineLength(document: Table, ...path: string[]): number {
  const measure = splitMeasure(textOf(valueAt(document, ['engine', ...path])));
  return numberOf(measure.number) * (MM_PER[measure.unit] ?? NaN);
}

type Corner = [number, number];

function corners(value: Json | undefined): Corner[] {
  if (!Array.isArray(value)) return [];
  return value.filter((corner): corner is Corner => Array.isArray(corner) && typeof corner[0] === 'number' && typeof corner[1] === 'number');
}

const EDGE_MM = 10;

/** A layout that covers the deck's outline, ten millimetres inside its edge; undefined when the engine file has no outline. */
export function layoutOfDeck(document: Table, columns: string, rows: string, unit: string): Layout | undefined {
  const outline = corners(valueAt(document, ['engine', 'head', 'outline']));
  const [across, down] = [numberOf(columns), numberOf(rows)];
  if (outline.length < 3 || !(across >= 2) || !(down >= 2)) return undefined;
  const span = (axis: 0 | 1): { from: number; length: number } => {
    const all = outline.map((corner) => corner[axis]);
    const from = Math.min(...all) + EDGE_MM;
    return { from, length: Math.max(...all) - EDGE_MM - from };
  };
  const [x, y] = [span(0), span(1)];
  const shown = (mm: number): string => placeText(unit === 'in' ? lengthIn(mm, 'in') : mm);
  return { columns, rows, columnSpacing: shown(x.length / (across - 1)), rowSpacing: shown(y.length / (down - 1)), firstX: shown(x.from), firstY: shown(y.from) };
}

/** Bores and passages, in the unit of place: nothing can be measured over them. */
export function holesOf(document: Table, unit: string): Hole[] {
  const bore = engineLength(document, 'gasket', 'bore') || engineLength(document, 'engine', 'bore');
  const found = (key: string, diameterOf: (row: Table) => number): Hole[] => {
    const list = valueAt(document, ['engine', key]);
    if (!Array.isArray(list)) return [];
    return list.filter(isTable).flatMap((row) => {
      const [at] = corners([row['at'] ?? null]);
      const radius = diameterOf(row) / 2;
      return at && radius > 0 ? [{ x: at[0], y: at[1], radius }] : [];
    });
  };
  const lengthOf = (text: string): number => numberOf(splitMeasure(text).number) * (MM_PER[splitMeasure(text).unit] ?? NaN);
  const holes = [...found('bore', () => bore), ...found('passage', (row) => lengthOf(textOf(row['diameter'])))];
  const scale = unit === 'in' ? 1 / 25.4 : 1;
  return holes.map((hole) => ({ x: hole.x * scale, y: hole.y * scale, radius: hole.radius * scale }));
}

/** Whether a table can be judged: four heights that do not all lie on one line. Until then it is being measured, not wrong. */
export function canBeJudged(table: FaceTable): boolean {
  const points = table.rows.map((row) => row.map(numberOf)).filter((row) => row.every((value) => !Number.isNaN(value))) as Corner[];
  const [first] = points;
  if (!first || points.length < FEWEST_POINTS) return false;
  const far = points.reduce((best, point) => (Math.hypot(point[0] - first[0], point[1] - first[1]) > Math.hypot(best[0] - first[0], best[1] - first[1]) ? point : best));
  const length = Math.hypot(far[0] - first[0], far[1] - first[1]);
  if (!(length > 0)) return false;
  return points.some((point) => Math.abs((far[0] - first[0]) * (point[1] - first[1]) - (far[1] - first[1]) * (point[0] - first[0])) > 1e-6 * length * length);
}
