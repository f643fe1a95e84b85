/** Readings of the job document: one text per cylinder, as typed, with its unit. */
import { type Edit, type Path, type Table, textAt, valueAt } from './document';
import { joinMeasure, readNumber, shownIn, splitMeasure } from './number_text';

export type ReadingTest = 'compression' | 'leak_down';

export const READING_UNITS: Record<ReadingTest, readonly string[]> = {
  compression: ['bar', 'psi', 'kPa'],
  leak_down: ['bar', 'psi', 'kPa', '%'],
};

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

/** Edits that put one cylinder's value in. The list is made as long as the engine has cylinders. */
export function valueEdits(document: Table, test: ReadingTest, cylinder: number, typed: string, unit: string): Edit[] {
  const list = valueAt(document, readingPath(test, 'values'));
  const edits: Edit[] = [];
  const count = cylindersOf(document);
  if (!Array.isArray(list) || list.length < count) {
    edits.push({ path: readingPath(test, 'values'), value: valuesOf(document, test) });
  }
  edits.push({ path: readingPath(test, 'values', cylinder - 1), value: joinMeasure(typed, unit) });
  return edits;
}

/** Edits that read the numbers typed so far in another unit: the wrong unit was chosen, the numbers stay as typed. */
export function unitEdits(document: Table, test: ReadingTest, from: string, to: string): Edit[] {
  return valuesOf(document, test).flatMap((value, index) => {
    const measure = splitMeasure(value);
    return measure.unit === from ? [{ path: readingPath(test, 'values', index), value: joinMeasure(measure.number, to) }] : [];
  });
}

export function shownValue(stored: string, unit: string): string {
  return shownIn(stored, unit);
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
