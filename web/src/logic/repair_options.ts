/** What may be done now with its cost: the answer of `options`, and how it is put on the screen. */
import type { Caution, Problem } from './contract';
import { type Edit, type Table, type Json, valueAt } from './document';
import { chanceText } from './wording';
import { figureOf, type Scales } from './drag_figure';

export interface CostItem {
  item: string;
  cost: number;
}

export interface FailureDriver {
  driver: string;
  share: number;
}

export interface OptionLine {
  option: string;
  text: string;
  state: 'chosen' | 'possible' | 'way home' | 'forbidden';
  forbidden?: string;
  expected_cost: number;
  low: number;
  high: number;
  second_failure: number;
  engine_lost: number;
  items: CostItem[];
  drivers: FailureDriver[];
  note: string;
}

/** A figure whose other value would change the choice. */
export interface ChoiceTurn {
  figure: string;
  unit: string; /** "" for a chance */
  now: number;
  at: number;
  then: string;
  then_text: string;
}

export interface ChoiceWeight {
  figure: string;
  unit: string;
  now: number;
  low: number;
  high: number;
  swing: number;
}

export interface CheckFirst {
  check: string;
  where: string;
  text: string;
  cost: number;
  value: number;
  net_value: number;
  outcomes: string[];
}

export interface OptionsAnswer {
  status: string;
  sentence: string;
  options: OptionLine[];
  chosen: string;
  after_check: string; /** what would be done without the check that comes first */
  second: string;
  lead: number;
  check: CheckFirst;
  turns: ChoiceTurn[];
  weights: ChoiceWeight[];
  unit: string;
  hour_price: number;
  prices: string;
  distance_km: number;
  spread: string;
  examples: string[];
  notes: string[];
  cautions?: Caution[];
  warnings?: (string | Problem)[];
  basis?: string;
  defer?: string;
}

/** Those that can be done, the cheapest first; a way home stands after the repairs. */
export function possible(options: readonly OptionLine[]): OptionLine[] {
  const rank = (option: OptionLine): number => (option.state === 'way home' ? 1 : 0);
  return options.filter((option) => option.state !== 'forbidden').sort((one, other) => rank(one) - rank(other) || one.expected_cost - other.expected_cost);
}

export function forbidden(options: readonly OptionLine[]): OptionLine[] {
  return options.filter((option) => option.state === 'forbidden');
}

export function costText(cost: number): string {
  if (!Number.isFinite(cost)) return 'not known';
  return Math.abs(cost) < 100 ? cost.toFixed(1) : String(Math.round(cost));
}

/** A figure with its unit; a chance in per cent. */
export function figureText(value: number, unit: string): string {
  if (unit !== '') return `${costText(value)} ${unit}`;
  const percent = 100 * value;
  return `${percent.toFixed(percent < 10 || (percent > 99 && percent < 100) ? 1 : 0)} %`;
}

export function turnText(turn: ChoiceTurn): string {
  return `${turn.figure}: ${figureText(turn.now, turn.unit)} now; ${turn.at > turn.now ? 'from' : 'below'} ${figureText(turn.at, turn.unit)}`;
}

export function weightText(weight: ChoiceWeight, unit: string): string {
  return `${weight.figure}: from ${figureText(weight.low, weight.unit)} to ${figureText(weight.high, weight.unit)} the lead of the choice moves by ${costText(weight.swing)} ${unit}`;
}

export function stateText(option: OptionLine): string {
  return { chosen: 'cheapest on these figures', possible: '', 'way home': 'a way home, not a repair', forbidden: 'not possible' }[option.state];
}

/** The end of the scale that all bars share: the largest high, but never so far that the cheapest cannot be seen. */
export function scaleEnd(options: readonly OptionLine[]): number {
  const highs = options.map((option) => option.high);
  const least = Math.min(...options.map((option) => option.expected_cost));
  return Math.max(1e-9, Math.min(Math.max(...highs, 0), 25 * Math.max(least, 1e-9)));
}

/** Why it was decided, as the job keeps it. */
export function reasonText(option: OptionLine, unit: string): string {
  return `${costText(option.expected_cost)} ${unit} expected (${costText(option.low)} to ${costText(option.high)}), leaks again ${chanceText(option.second_failure)}`;
}

// ---- what is tried: the hour's price and the way to be driven ----

export const DISTANCE_SCALES: Scales = [
  { unit: 'km', low: 0, high: 1000, step: 10 },
  { unit: 'mi', low: 0, high: 600, step: 10 },
];

/** Money of any name; `unit` is the currency of the job. */
export function hourScales(unit: string): Scales {
  return [{ unit, low: 0, high: 300, step: 1 }];
}

export const hourPriceText = (document: Table): string => {
  const price = valueAt(document, ['workshop', 'hour_price']);
  return typeof price === 'number' || typeof price === 'string' ? String(price) : '';
};

/** The document with another price of the hour; blank takes it away. A text that is no number leaves it as it is. */
export function withHourPrice(document: Table, price: number | undefined): Json {
  const workshop = valueAt(document, ['workshop']);
  const { hour_price: _, ...others } = typeof workshop === 'object' && workshop !== null && !Array.isArray(workshop) ? workshop : {};
  return { ...document, workshop: price === undefined ? others : { ...others, hour_price: price } };
}

/** Edits that keep the price of the hour: a number; what is no number is kept as typed, for the job to say what is wrong; blank takes it away. */
export function hourPriceEdits(typed: string): Edit[] {
  const path = ['workshop', 'hour_price'];
  if (typed.trim() === '') return [{ path }];
  const price = figureOf(typed, hourScales(''));
  return [{ path, value: price ?? typed.trim() }];
}
