/** A figure that can be typed, stepped with the keys or dragged. Text is the truth: the slider only shows where it stands. */
import { joinMeasure, readNumber, splitMeasure } from './number_text';

export interface Scale {
  unit: string;
  low: number;
  high: number;
  step: number; /** of a key press or of the slider */
}

/** The same figure in each unit it may be typed in; the first is the one shown where none was typed. */
export type Scales = readonly [Scale, ...Scale[]];

/** A cut of a face or a thickness; limits are those of the drawing board, not of the engine. */
export const CUT_SCALES: Scales = [
  { unit: 'mm', low: 0, high: 1, step: 0.01 },
  { unit: 'thou', low: 0, high: 40, step: 0.5 },
  { unit: 'in', low: 0, high: 0.04, step: 0.0005 },
];
export const GASKET_SCALES: Scales = [
  { unit: 'mm', low: 0.3, high: 3, step: 0.05 },
  { unit: 'thou', low: 10, high: 120, step: 1 },
  { unit: 'in', low: 0.01, high: 0.12, step: 0.001 },
];
export const PRELOAD_SCALES: Scales = [
  { unit: 'kN', low: 0, high: 120, step: 1 },
  { unit: 'lbf', low: 0, high: 27000, step: 200 },
];
/** A rise of temperature over the day it was tightened. */
export const HEAT_SCALES: Scales = [{ unit: 'K', low: 0, high: 120, step: 5 }];
export const GAS_SCALES: Scales = [
  { unit: 'bar', low: 0, high: 250, step: 5 },
  { unit: 'psi', low: 0, high: 3600, step: 50 },
  { unit: 'kPa', low: 0, high: 25000, step: 500 },
  { unit: 'MPa', low: 0, high: 25, step: 0.5 },
];

/** The scales with the reader's unit first. */
export function scalesFor(scales: Scales, unit: string): Scales {
  const first = scales.find((scale) => scale.unit === unit) ?? scales[0];
  return [first, ...scales.filter((scale) => scale !== first)];
}

/** The scale of the unit that was typed; the first where none was. */
export function scaleOf(text: string, scales: Scales): Scale {
  const { unit } = splitMeasure(text);
  return scales.find((scale) => scale.unit === unit) ?? scales[0];
}

/** The number of a text on its scale, or undefined when it is blank, no number, or in a unit that has no scale. */
export function figureOf(text: string, scales: Scales): number | undefined {
  const { number, unit } = splitMeasure(text);
  const read = readNumber(number);
  if (read.kind !== 'number' || (unit !== '' && !scales.some((scale) => scale.unit === unit))) return undefined;
  return read.value;
}

function decimalsOf(step: number): number {
  return Math.max(0, (String(step).split('.')[1] ?? '').length);
}

/** A number as this reader writes it: with a decimal comma where the text before has one. */
export function figureText(value: number, scale: Scale, before: string): string {
  const text = value.toFixed(decimalsOf(scale.step));
  return splitMeasure(before).number.includes(',') ? text.replace('.', ',') : text;
}

/** The text after the slider was put to `value`: on the scale's steps, in the unit that was typed. */
export function draggedText(value: number, before: string, scales: Scales): string {
  const scale = scaleOf(before, scales);
  const clamped = Math.min(scale.high, Math.max(scale.low, value));
  return joinMeasure(figureText(clamped, scale, before), splitMeasure(before).unit);
}

/** The text after `steps` key presses up (or down, below zero); a blank field begins at `start`. Steps land on whole steps. */
export function steppedText(steps: number, before: string, start: number, scales: Scales): string {
  const scale = scaleOf(before, scales);
  const value = figureOf(before, scales);
  if (value === undefined && before.trim() !== '') return before;
  const from = (value ?? start) / scale.step;
  const onStep = steps > 0 ? Math.floor(from + 1e-9) : Math.ceil(from - 1e-9);
  return draggedText((onStep + steps) * scale.step, before, scales);
}

/** What is wrong with a typed figure before the server is asked; "" when nothing is. */
export function figureDoubt(text: string, unit: string): string {
  const { number } = splitMeasure(joinMeasure(text, unit));
  const read = readNumber(number);
  return read.kind === 'problem' ? `${read.what}: ${read.mend}.` : '';
}
