/** Tightening bolt by bolt: the order as typed, and the forces after each pass. */
import type { Options } from './api';
import { headOption } from './clamping';
import { type Table, valueAt } from './document';
import type { TightenAnswer } from './operation_answers';
import { fixed } from './units';

export interface TightenFigures {
  order: string; /** blank: the engine file's, or from the middle outwards */
  passes: string;
  untightened: 'snug' | 'loose';
  head?: string; /** which of several; blank: the first */
}

export const UNTIGHTENED: readonly { id: TightenFigures['untightened']; text: string }[] = [
  { id: 'snug', text: 'snug: touching, carrying nothing yet' },
  { id: 'loose', text: 'loose: carrying nothing at all' },
];

/** Bolt numbers with anything between them. */
export function readOrder(text: string): number[] {
  return (text.match(/\d+/g) ?? []).map(Number);
}

export const orderText = (order: readonly number[]): string => order.join(', ');

/** The maker's order in the engine file. */
export function makersOrder(document: Table): number[] {
  const order = valueAt(document, ['engine', 'tightening', 'order']);
  return Array.isArray(order) ? order.filter((bolt): bolt is number => typeof bolt === 'number') : [];
}

export function boltCount(document: Table): number {
  const bolts = valueAt(document, ['engine', 'bolts', 'at']);
  return Array.isArray(bolts) ? bolts.length : makersOrder(document).length;
}

const MOST_PASSES = 20;

/** What is wrong with a typed order; "" when nothing is, or when the bolts are not known here. */
export function orderDoubt(text: string, bolts: number): string {
  if (text.trim() === '') return '';
  if (/[^\d\s,;./-]/.test(text)) return `"${text}" is no order: type bolt numbers with commas, such as 3, 8, 7, 2.`;
  if (bolts === 0) return '';
  const order = readOrder(text);
  const wrong = order.find((bolt) => bolt < 1 || bolt > bolts);
  if (wrong !== undefined) return `There is no bolt ${wrong}: bolts are numbered 1 to ${bolts} on the plan.`;
  const twice = order.find((bolt, index) => order.indexOf(bolt) !== index);
  if (twice !== undefined) return `Bolt ${twice} stands twice.`;
  const missing = Array.from({ length: bolts }, (_, index) => index + 1).filter((bolt) => !order.includes(bolt));
  return missing.length === 0 ? '' : `Not in the order yet: ${orderText(missing)}.`;
}

export function passesDoubt(text: string): string {
  const passes = Number(text.trim());
  return text.trim() === '' || (Number.isInteger(passes) && passes >= 1 && passes <= MOST_PASSES) ? '' : `Type how many passes, 1 to ${MOST_PASSES}.`;
}

export function tightenOptions(figures: TightenFigures): Options {
  const order = readOrder(figures.order);
  return {
    ...(order.length === 0 ? {} : { order: order.join(',') }),
    ...(figures.passes.trim() === '' ? {} : { passes: figures.passes.trim() }),
    untightened: figures.untightened,
    ...headOption(figures.head ?? ''),
  };
}

export interface ForceTable {
  bolts: { number: number; forces: string[] }[];
  sums: { name: string; figures: string[] }[];
}

const kN = (newton: number | null | undefined): string => fixed(newton == null ? undefined : newton / 1000, 1);

/** Bolts down the side in the order of their numbers, passes across; least, greatest and scatter below. */
export function forceTable(answer: TightenAnswer): ForceTable {
  const numbers = [...new Set(answer.passes.flatMap((pass) => pass.bolts.map((bolt) => bolt.number)))].sort((one, other) => one - other);
  const forceOf = (pass: TightenAnswer['passes'][number], number: number): string => {
    const bolt = pass.bolts.find((one) => one.number === number);
    return bolt ? kN(bolt.force_N) : '–';
  };
  return {
    bolts: numbers.map((number) => ({ number, forces: answer.passes.map((pass) => forceOf(pass, number)) })),
    sums: [
      { name: 'least', figures: answer.passes.map((pass) => kN(pass.min_N)) },
      { name: 'greatest', figures: answer.passes.map((pass) => kN(pass.max_N)) },
      { name: 'mean', figures: answer.passes.map((pass) => kN(pass.mean_N)) },
      { name: 'scatter (standard deviation)', figures: answer.passes.map((pass) => kN(pass.std_N)) },
    ],
  };
}

/** In one line: how even the bolts are in the end. */
export function evennessText(answer: TightenAnswer): string {
  const last = answer.passes[answer.passes.length - 1];
  if (!last) return '';
  const share = last.mean_N > 0 ? ` (${((100 * last.std_N) / last.mean_N).toFixed(1)} % of the mean)` : '';
  return `After pass ${answer.passes.length} the bolts carry ${kN(last.min_N)} to ${kN(last.max_N)} kN, scattered by ${kN(last.std_N)} kN${share}.`;
}
