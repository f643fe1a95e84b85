/** The proof of a repair: what was done, what was read afterwards, in the document's own keys. */
import type { Caution } from './contract';
import { type Edit, isTable, type Json, type Path, type Table, textAt, valueAt } from './document';
import type { Picture } from './operation_answers';
import { pressureText, type PressureUnit, shown } from './units';

export interface ProofCheck {
  check: string;
  expected: number | string | null;
  accept_low: number | null;
  accept_high: number | null;
  unit: string;
  expected_text: string;
  test: string;
  where: string;
  reading: string;
  value: number | null;
  verdict: string; /** "", "within", "below", "above", "seen", "absent", "void" */
  why: string;
}

export interface RemainingFault {
  fault: string;
  where: string;
  text: string;
  before: number;
  factor: number;
  chance: number;
  why: string;
}

export interface ProofAnswer {
  sentence: string;
  checks: ProofCheck[];
  fault_remains: number | null;
  low: number | null;
  high: number | null;
  is_repaired: boolean;
  is_anything_read: boolean;
  says_no: boolean;
  remaining: RemainingFault[];
  left_undone: { text: string; factor: number; mend: string }[];
  still_to_take: string[];
  missing: string[];
  notes: string[];
  cautions: Caution[];
  pictures?: Picture[];
}

const AFTER: Readonly<Record<string, string>> = { reading: 'proof_reading', signs: 'proof_signs' };

/** The document as if only the proof had been read: forms made for readings and signs then serve the proof as well. */
export function proofView(document: Table): Table {
  return { ...document, reading: document['proof_reading'] ?? [], signs: document['proof_signs'] ?? {}, head_off: false };
}

/** Edits of that view, put where they belong. */
export function proofEdits(edits: readonly Edit[]): Edit[] {
  return edits.map((edit) => {
    const [head, ...rest] = edit.path;
    const key = typeof head === 'string' ? AFTER[head] : undefined;
    return key === undefined ? edit : { ...edit, path: [key, ...rest] };
  });
}

export const repairPath = (key: string): Path => ['repair', key];
export const repairText = (document: Table, key: string): string => textAt(document, repairPath(key));

export function repairEdits(key: string, text: string): Edit[] {
  return text.trim() === '' ? [{ path: repairPath(key) }] : [{ path: repairPath(key), value: text.trim() }];
}

/** A list of words under [repair]. */
export function repairList(document: Table, key: string): string[] {
  const list = valueAt(document, repairPath(key));
  return Array.isArray(list) ? list.filter((one): one is string => typeof one === 'string' && one !== '') : [];
}

export function listEdits(document: Table, key: string, word: string, isThere: boolean): Edit[] {
  const others = repairList(document, key).filter((one) => one !== word);
  const next: Json[] = isThere ? [...others, word] : others;
  return next.length === 0 ? [{ path: repairPath(key) }] : [{ path: repairPath(key), value: next }];
}

/** "gasket set; thermostat" to a list and back. */
export function partsEdits(key: string, typed: string): Edit[] {
  const parts = typed
    .split(';')
    .map((part) => part.trim())
    .filter((part) => part !== '');
  return parts.length === 0 ? [{ path: repairPath(key) }] : [{ path: repairPath(key), value: parts }];
}

/** What the chance of a second failure turns on, in the order of work. */
export const WORK: readonly { word: string; text: string }[] = [
  { word: 'head_measured', text: 'Head’s face measured' },
  { word: 'head_skimmed', text: 'Head’s face machined' },
  { word: 'deck_measured', text: 'Block’s deck measured' },
  { word: 'deck_machined', text: 'Block’s deck machined' },
  { word: 'liners_measured', text: 'Liner heights measured' },
  { word: 'crack_tested', text: 'Tested for cracks' },
  { word: 'hardness_tested', text: 'Hardness tested' },
  { word: 'holes_cleaned', text: 'Bolt holes clean and dry' },
  { word: 'lubricant_as_asked', text: 'Bolts lubricated as the maker asks' },
  { word: 'tightened_as_asked', text: 'Tightened in the maker’s order and stages' },
  { word: 'wrench_logged', text: 'Wrench logged' },
  { word: 'oil_changed', text: 'Oil changed' },
  { word: 'system_flushed', text: 'Cooling system flushed' },
  { word: 'coolant_new', text: 'New coolant' },
  { word: 'cap_new', text: 'New cap' },
  { word: 'thermostat_new', text: 'New thermostat' },
  { word: 'bled', text: 'Bled' },
  { word: 'first_heat', text: 'First heat gone through' },
  { word: 'retightened', text: 'Tightened again, where the maker asks' },
];

const DIGITS: Readonly<Record<string, number>> = { bar: 3, min: 2, degC: 3, '%': 2, L: 2, ppm: 2 };
const NAMES: Readonly<Record<string, string>> = { degC: '°C' };

function figure(value: number, unit: string, pressure: PressureUnit): string {
  return unit === 'bar' ? pressureText(value, pressure) : `${shown(value, DIGITS[unit] ?? 2)} ${NAMES[unit] ?? unit}`;
}

/** The band beside a field: "11.3 bar to 13.8 bar", "at most 12 %". */
export function acceptedText(check: ProofCheck | undefined, pressure: PressureUnit): string {
  if (!check) return '';
  const { accept_low: low, accept_high: high, unit } = check;
  if (low === null && high === null) return check.expected_text;
  if (low === null || (low <= 0 && unit !== 'bar')) return `at most ${figure(high ?? 0, unit, pressure)}`;
  if (high === null || (unit === '%' && high >= 100)) return `at least ${figure(low, unit, pressure)}`;
  return `${figure(low, unit, pressure)} to ${figure(high, unit, pressure)}`;
}

/** The verdict in words that need no colour. */
export function verdictText(check: ProofCheck | undefined): string {
  switch (check?.verdict) {
    case 'within':
      return 'within';
    case 'below':
      return 'BELOW';
    case 'above':
      return 'ABOVE';
    case 'seen':
      return 'STILL THERE';
    case 'absent':
      return 'gone';
    default:
      return check?.reading ? 'not judged' : 'not taken';
  }
}

export const isOut = (check: ProofCheck | undefined): boolean => ['below', 'above', 'seen'].includes(check?.verdict ?? '');

export function checkOf(answer: ProofAnswer | undefined, test: string, where = ''): ProofCheck | undefined {
  return answer?.checks.find((check) => check.test === test && check.where === where);
}

/** Signs are judged as seen or absent; everything with a unit is a reading. */
export const signChecks = (answer: ProofAnswer | undefined): ProofCheck[] => answer?.checks.filter((check) => check.unit === '' && check.accept_low === null && typeof check.expected === 'string' && check.test !== 'compression') ?? [];

function signPath(check: ProofCheck): Path {
  return check.where === '' ? ['proof_signs', check.test] : ['proof_signs', check.test, check.where];
}

export function signState(document: Table, check: ProofCheck): string {
  const stored = valueAt(document, signPath(check));
  const text = isTable(stored) ? textAt(stored, ['state']) : typeof stored === 'string' ? stored : '';
  return text === '' ? '' : text === 'absent' || text === 'none' ? 'absent' : text === 'void' ? 'void' : 'seen';
}

/** A finding with grades has its own words; its least says that nothing is there, its greatest is taken for seen. */
export function signEdits(check: ProofCheck, state: string, grades: readonly string[]): Edit[] {
  const path = signPath(check);
  if (state === '') return [{ path }];
  const least = grades[0] ?? 'absent';
  const most = grades[grades.length - 1] ?? 'seen';
  return [{ path, value: state === 'absent' ? least : state === 'seen' ? most : state }];
}
