/** Numbers as a mechanic types them: comma or point, a real minus sign, a fraction of an inch. Blank is never zero. */

export type NumberText =
  | { kind: 'blank' }
  | { kind: 'number'; value: number; decimals: number }
  | { kind: 'problem'; what: string; mend: string };

const FRACTION = /^(?:(\d+) )?(\d+)\/(\d+)$/;
const PLAIN = /^[-+]?(?:\d+[.,]?\d*|[.,]\d+)$/;

function problem(what: string, mend: string): NumberText {
  return { kind: 'problem', what, mend };
}

function fraction(text: string): NumberText | undefined {
  const parts = FRACTION.exec(text.replace(/^[-+]/, ''));
  if (!parts) return undefined;
  const below = Number(parts[3]);
  if (below === 0) return problem(`"${text}" divides by zero`, 'type a number below the line that is not 0');
  const sign = text.startsWith('-') ? -1 : 1;
  return { kind: 'number', value: sign * (Number(parts[1] ?? 0) + Number(parts[2]) / below), decimals: 0 };
}

/** Reads the number in a field without its unit. A lone comma is a decimal comma. */
export function readNumber(typed: string): NumberText {
  const text = typed.trim().replace(/\u2212/g, '-').replace(/[\u00a0\u202f]/g, ' ');
  if (text === '') return { kind: 'blank' };
  const asFraction = fraction(text);
  if (asFraction) return asFraction;
  const separators = text.match(/[.,]/g) ?? [];
  if (separators.length > 1) {
    return problem(`"${typed}" has more than one comma or point`, 'type one comma or one point before the decimals, nothing between thousands');
  }
  if (!PLAIN.test(text)) return problem(`"${typed}" is not a number`, 'type a number such as 12.1 or 12,1');
  const decimals = text.split(/[.,]/)[1]?.length ?? 0;
  return { kind: 'number', value: Number(text.replace(',', '.')), decimals };
}

export interface Measure {
  number: string;
  unit: string;
}

/** Splits "12,1 bar" into what was typed before the unit and the unit; a text without a unit keeps "". */
export function splitMeasure(text: string): Measure {
  const parts = /^(.*?[\d.,])\s*([^\d.,\s/][^\d]*)$/u.exec(text.trim());
  const number = parts?.[1];
  return number === undefined ? { number: text.trim(), unit: '' } : { number, unit: (parts?.[2] ?? '').trim() };
}

/** What goes into the document: the typed text, with the field's unit when none was typed; blank stays blank. */
export function joinMeasure(typed: string, unit: string): string {
  const text = typed.trim();
  if (text === '') return '';
  return splitMeasure(text).unit !== '' || unit === '' || !/\d$|[.,]$/.test(text) ? text : `${text} ${unit}`;
}

/** What a field shows of a stored text: the bare number where the unit is the field's own. */
export function shownIn(stored: string, unit: string): string {
  const measure = splitMeasure(stored);
  return measure.unit === unit ? measure.number : stored;
}

/** How a figure is understood, "12.1 bar", where it was not typed plainly: with a comma, as a fraction, with spaces; "" elsewhere. */
export function understoodText(typed: string, unit: string): string {
  const measure = splitMeasure(joinMeasure(typed, unit));
  const number = readNumber(measure.number);
  if (number.kind !== 'number' || /^-?\d+(\.\d+)?$/.test(typed.trim())) return '';
  const value = Number.isInteger(number.value) ? String(number.value) : number.value.toFixed(Math.max(number.decimals, FRACTION.test(measure.number) ? 4 : 0));
  const text = `${value} ${measure.unit}`.trim();
  return text === typed.trim() ? '' : text;
}
