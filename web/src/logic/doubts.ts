/** Values that may be right but look wrong: a lost decimal, a wrong unit. They are warnings; a reason confirms them and is kept in the job. */
import type { Problem } from './contract';
import { type Edit, isTable, type Json, type Path, type Table, textAt, valueAt } from './document';
import { readTable } from './face_points';
import { readNumber, splitMeasure } from './number_text';
import { isError } from './problems';

/** A slip of the decimal is ten times. Nothing honest lies so far above its neighbours; a dead cylinder may lie far below. Common practice, no source. */
const FAR_ABOVE = 5;
const FAR_BELOW = 1 / 8;
/** A thousandth of an inch read as a hundredth of a millimetre, or the point lost: far beyond every other point of the face. */
const FAR_OFF_FACE = 10;
const LEAST_FACE_STEP = 0.05;
const MARK = 'confirmed';

function numberOf(text: string): number {
  const read = readNumber(splitMeasure(text).number);
  return read.kind === 'number' ? read.value : NaN;
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((one, other) => one - other);
  const middle = Math.floor(sorted.length / 2);
  return sorted.length % 2 === 1 ? (sorted[middle] ?? NaN) : ((sorted[middle - 1] ?? NaN) + (sorted[middle] ?? NaN)) / 2;
}

const warning = (pointer: string, what: string, mend: string): Problem => ({ place: { pointer }, severity: 'warning', what, mend });

/** A number ten times or a tenth of what its neighbours show, all in one unit. */
function readingDoubts(reading: Table, index: number): Problem[] {
  const values = Array.isArray(reading['values']) ? reading['values'].map((value) => (typeof value === 'string' ? value : '')) : [];
  const units = new Set(values.filter((value) => value.trim() !== '').map((value) => splitMeasure(value).unit));
  if (units.size !== 1 || units.has('%') || reading['void'] !== undefined) return [];
  const numbers = values.map(numberOf);
  return numbers.flatMap((value, place) => {
    const others = numbers.filter((other, at) => at !== place && other > 0);
    if (!(value > 0) || others.length < 2) return [];
    const ratio = value / median(others);
    if (ratio < FAR_ABOVE && ratio > FAR_BELOW) return [];
    const meant = ratio > 1 ? value / 10 : value * 10;
    return [warning(`/reading/${index}/values/${place}`, `cylinder ${place + 1} reads ${values[place] ?? ''}, far from the others`, `did you mean ${Number(meant.toPrecision(6))} ${[...units][0] ?? ''}?`)];
  });
}

function faceDoubts(face: Table, index: number): Problem[] {
  const table = typeof face['table'] === 'string' ? readTable(face['table']) : undefined;
  if (!table) return [];
  const heights = table.rows.map((row) => numberOf(row[2]));
  const middle = median(heights.filter(Number.isFinite));
  const offsets = heights.map((height) => Math.abs(height - middle));
  const sorted = offsets.filter(Number.isFinite).sort((one, other) => other - one);
  const [largest = 0, second = 0] = sorted;
  const place = offsets.indexOf(largest);
  if (sorted.length < 4 || largest < LEAST_FACE_STEP || largest < FAR_OFF_FACE * Math.max(second, 1e-9)) return [];
  const name = table.names?.[place] || String(place + 1);
  return [warning(`/face/${index}/table`, `point ${name} stands at ${table.rows[place]?.[2] ?? ''} ${table.units.height}, far beyond every other point`, 'measure it again: a lost decimal, dirt under the foot, thou for hundredths of a millimetre?')];
}

function tablesAt(document: Table, key: string): Table[] {
  const list = valueAt(document, [key]);
  return Array.isArray(list) ? list.map((one) => (isTable(one) ? one : {})) : [];
}

/** What the page itself doubts. */
export function pageDoubts(document: Table): Problem[] {
  return [...tablesAt(document, 'reading').flatMap(readingDoubts), ...tablesAt(document, 'face').flatMap(faceDoubts)];
}

/** Where the reason for a doubt is kept: at the reading or the face, else with the engine's past. */
function noteOf(problem: Problem): Path {
  const [, head, index] = /^\/(reading|face)\/(\d+)/.exec(problem.place?.pointer ?? '') ?? [];
  return head === undefined ? ['history', 'notes'] : [head, Number(index), 'note'];
}

const keyOf = (problem: Problem): string => problem.what.replace(/[()]/g, '');

export function isConfirmed(document: Table, problem: Problem): boolean {
  return textAt(document, noteOf(problem)).includes(`${MARK} (${keyOf(problem)}): `);
}

/** Edits that keep the reason with the job. */
export function confirmEdits(document: Table, problem: Problem, reason: string): Edit[] {
  const path = noteOf(problem);
  const before = textAt(document, path);
  const line = `${MARK} (${keyOf(problem)}): ${reason.trim()}`;
  const value: Json = before === '' ? line : `${before}; ${line}`;
  return [{ path, value }];
}

/** The problems still to be looked at: all errors, and doubts that nobody confirmed. */
export function openProblems(document: Table, problems: readonly Problem[]): Problem[] {
  return problems.filter((problem) => isError(problem) || !isConfirmed(document, problem));
}
