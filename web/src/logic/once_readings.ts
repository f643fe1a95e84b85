/** Readings that are taken once for the engine, or bolt by bolt: the number behind a sign that is otherwise only seen or absent. */
import { type Edit, isTable, type Json, type Path, type Table, textAt, valueAt } from './document';
import { joinMeasure, readNumber } from './number_text';

export interface OnceField {
  key: string;
  label: string;
  unit: string; /** "" for a bare number; "pressure" for the reader's unit of pressure */
  hint: string;
  isNeeded: boolean; /** without it the reading says nothing */
}

export interface OnceTest {
  test: string;
  title: string;
  fields: readonly OnceField[];
}

const HOLD: readonly OnceField[] = [
  { key: 'start', label: 'Pressure at the start', unit: 'pressure', hint: '', isNeeded: true },
  { key: 'end', label: 'Pressure at the end', unit: 'pressure', hint: '', isNeeded: true },
  { key: 'duration', label: 'Time between', unit: 'min', hint: '', isNeeded: true },
];

/** By the name of the question they answer with a number. */
export const ONCE_TESTS: Readonly<Record<string, OnceTest>> = {
  pressure_hold: { test: 'pressure_hold', title: 'As read on the gauge', fields: HOLD },
  cold_rise: { test: 'cold_rise', title: 'As read on the gauge', fields: HOLD },
  gas_reading: {
    test: 'gas_in_coolant',
    title: 'As read on the analyser, over the coolant',
    fields: [
      { key: 'carbon_dioxide', label: 'Carbon dioxide', unit: '%', hint: 'one of the two is enough', isNeeded: false },
      { key: 'hydrocarbons_ppm', label: 'Hydrocarbons, ppm', unit: '', hint: '', isNeeded: false },
    ],
  },
  crackle: { test: 'water_in_oil', title: 'As measured by the laboratory', fields: [{ key: 'water', label: 'Water in the oil', unit: '%', hint: '', isNeeded: true }] },
  release_torque: {
    test: 'release_torque',
    title: 'As read on the wrench, bolt by bolt as they were loosened',
    fields: [{ key: 'torques', label: 'Loosening torques', unit: 'N.m', hint: 'three bolts or more, with semicolons: 85; 80; 40', isNeeded: true }],
  },
};

export const oncePath = (test: string, ...rest: string[]): Path => ['reading', { match: { test } }, ...rest];
export const onceField = (test: string, key: string): string => `reading-${test}-${key}`;

/** What a field shows of the document. */
export function onceText(document: Table, test: string, key: string): string {
  const value = valueAt(document, oncePath(test, key));
  if (Array.isArray(value)) return value.map((one) => String(isTable(one) ? textAt(one, ['value']) : one)).join('; ');
  return isTable(value) ? textAt(value, ['value']) : textAt(document, oncePath(test, key));
}

function listOf(typed: string, unit: string): Json[] {
  return typed
    .split(';')
    .map((part) => part.trim())
    .filter((part) => part !== '')
    .map((part) => joinMeasure(part, unit));
}

function valueOf(key: string, typed: string, unit: string): Json {
  if (key === 'torques') return listOf(typed, unit);
  const number = readNumber(typed);
  return unit === '' && number.kind === 'number' ? number.value : joinMeasure(typed, unit);
}

/** Edits that keep one figure; the reading goes when its last figure is taken away. */
export function onceEdits(document: Table, once: OnceTest, key: string, typed: string, unit: string): Edit[] {
  const path = oncePath(once.test, key);
  if (typed.trim() !== '') return [{ path, value: valueOf(key, typed, unit) }];
  const isLast = once.fields.every((field) => field.key === key || onceText(document, once.test, field.key) === '');
  return [isLast ? { path: oncePath(once.test) } : { path }];
}

/** How far it is typed: "not taken", "1 of 3 typed", "taken". */
export function onceState(document: Table, once: OnceTest): string {
  const needed = once.fields.some((field) => field.isNeeded) ? once.fields.filter((field) => field.isNeeded) : once.fields.slice(0, 1);
  const typed = once.fields.filter((field) => onceText(document, once.test, field.key) !== '');
  if (typed.length === 0) return 'not taken';
  const open = needed.filter((field) => !typed.includes(field));
  return open.length === 0 || typed.some((field) => !field.isNeeded) ? 'taken' : `${typed.length} of ${needed.length} typed`;
}

/** The field that a problem with the whole reading is about: the first one that lacks its figure. */
export function onceFieldLacking(document: Table, test: string): string | undefined {
  const once = Object.values(ONCE_TESTS).find((one) => one.test === test);
  if (!once) return undefined;
  const lacking = once.fields.find((field) => onceText(document, test, field.key) === '') ?? once.fields[0];
  return lacking ? onceField(test, lacking.key) : undefined;
}
