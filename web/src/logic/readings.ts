/** Readings of the job document: one text per cylinder, as typed, with its unit. */
import { type Edit, type Path, type Table, textAt, valueAt } from './document';
import type { OutletResult, PairResult } from './contract';
import { joinMeasure, readNumber, splitMeasure } from './number_text';
import { shown } from './units';

export type ReadingTest = 'compression' | 'leak_down' | 'starter_current';

export const READING_UNITS: Record<ReadingTest, readonly string[]> = {
  compression: ['bar', 'psi', 'kPa'],
  leak_down: ['bar', 'psi', 'kPa', '%'],
  starter_current: ['%'],
};

export const READING_NAMES: Record<ReadingTest, string> = { compression: 'Compression', leak_down: 'Leak-down', starter_current: 'Starter current' };

/** What a value in per cent is of. */
export const PERCENT_OF: Record<ReadingTest, string> = { compression: '%', leak_down: '% lost', starter_current: '% of the strongest pull' };

/** The tests whose readings the program turns into leak areas. */
export const givesAreas = (test: ReadingTest): boolean => test !== 'starter_current';

/** The tester's orifice that is taken when its maker names none: FAA AC 43.13-1B, chapter 8, engines under 5 in bore. */
export const USUAL_ORIFICE = '0.040 in';

export function readingPath(test: ReadingTest, ...rest: (string | number)[]): Path {
  return ['reading', { match: { test } }, ...rest];
}

export function cylindersOf(document: Table): number {
  const count = valueAt(document, ['engine', 'engine', 'cylinders']);
  return typeof count === 'number' && Number.isInteger(count) && count > 0 ? count : 0;
}

export function valuesOf(document: Table, test: ReadingTest): string[] {
  return Array.from({ length: cylindersOf(document) }, (_, index) => textAt(document, readingPath(test, 'values', index)));
}

/** The unit of the values typed already; else the one given. */
export function unitOf(document: Table, test: ReadingTest, otherwise: string): string {
  const units = valuesOf(document, test).map((value) => splitMeasure(value).unit);
  return units.find((unit) => READING_UNITS[test].includes(unit)) ?? otherwise;
}

/** A reading carries one value for each cylinder, blank where none was taken. */
function listEdits(document: Table, test: ReadingTest): Edit[] {
  const list = valueAt(document, readingPath(test, 'values'));
  const isWhole = Array.isArray(list) && list.length >= cylindersOf(document);
  return isWhole ? [] : [{ path: readingPath(test, 'values'), value: valuesOf(document, test) }];
}

/** A value typed over takes the leak away that a recording had found for the one before. */
function leakGoesEdits(document: Table, cylinder: number): Edit[] {
  const leak = readingPath('starter_current', 'leaks', cylinder - 1);
  return textAt(document, [...leak, 'area']) === '' ? [] : [{ path: leak, value: {} }];
}

/** Edits that put one cylinder's value in. */
export function valueEdits(document: Table, test: ReadingTest, cylinder: number, typed: string, unit: string): Edit[] {
  const value: Edit = { path: readingPath(test, 'values', cylinder - 1), value: joinMeasure(typed, unit) };
  return [...listEdits(document, test), value, ...(test === 'starter_current' ? leakGoesEdits(document, cylinder) : [])];
}

/** Edits that set what holds for the whole reading: its supply, orifice, conditions. Blank takes the key away. */
export function keyEdits(document: Table, test: ReadingTest, key: string, text: string): Edit[] {
  const path = readingPath(test, key);
  return [...listEdits(document, test), text === '' ? { path } : { path, value: text }];
}

/** How a reading was taken: keys of the job file with the words they may hold. */
export const CONDITIONS: Record<ReadingTest, readonly { key: string; label: string; words: readonly string[] }[]> = {
  compression: [
    { key: 'engine', label: 'Engine', words: ['cold', 'warm', 'hot'] },
    { key: 'plugs', label: 'Plugs', words: ['all out', 'one out'] },
    { key: 'throttle', label: 'Throttle', words: ['open', 'closed'] },
  ],
  leak_down: [
    { key: 'engine', label: 'Engine', words: ['cold', 'warm', 'hot'] },
    { key: 'piston', label: 'Piston', words: ['top', 'down'] },
  ],
  starter_current: [
    { key: 'engine', label: 'Engine', words: ['cold', 'warm', 'hot'] },
    { key: 'throttle', label: 'Throttle', words: ['open', 'closed'] },
  ],
};

/** An area with its band: "1.1 mm² (0.70 – 1.6)"; open above where the test sets no limit; "" without an area. */
export function areaText(row: { leak_area_mm2?: number | null; low_mm2?: number | null; high_mm2?: number | null }): string {
  if (row.leak_area_mm2 == null || !Number.isFinite(row.leak_area_mm2)) return '';
  const low = row.low_mm2 == null ? '' : shown(row.low_mm2, 2);
  const band = low === '' ? '' : row.high_mm2 == null ? ` (${low} or more)` : ` (${low} – ${shown(row.high_mm2, 2)})`;
  return `${shown(row.leak_area_mm2, 2)} mm²${band}`;
}

export function pairAreaText(pair: PairResult): string {
  const area = areaText(pair);
  return area === '' ? '' : `If all that both lack goes across: ${area}.`;
}

/** "coolant: 30 % of the leak, 0.40 mm² (0.30 – 0.60), by ear". */
export function outletText(outlet: OutletResult): string {
  const parts = [`${Math.round(100 * outlet.share)} % of the leak`, areaText(outlet), outlet.how].filter((part) => part !== '');
  return `${outlet.outlet}: ${parts.join(', ')}${outlet.never_sound ? '; any air there is a fault' : ''}`;
}

/** Edits that read the numbers typed so far in another unit: the wrong unit was chosen, the numbers stay as typed. */
export function unitEdits(document: Table, test: ReadingTest, from: string, to: string): Edit[] {
  return valuesOf(document, test).flatMap((value, index) => {
    const measure = splitMeasure(value);
    return measure.unit === from ? [{ path: readingPath(test, 'values', index), value: joinMeasure(measure.number, to) }] : [];
  });
}

/** What is wrong with a typed value, before the server is asked; "" when nothing is. */
export function valueDoubt(typed: string, unit: string): string {
  const measure = splitMeasure(joinMeasure(typed, unit));
  const number = readNumber(measure.number);
  if (number.kind === 'blank' || /^[a-z ]+$/i.test(typed.trim())) return '';
  if (number.kind === 'problem') return `${number.what}: ${number.mend}.`;
  if (number.value < 0) return `"${typed}" is below zero: a gauge shows 0 or more.`;
  if (measure.unit === '%' && number.value > 100) return `"${typed}" is more than 100 %.`;
  return '';
}
