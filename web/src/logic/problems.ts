/** From a place in the document to the field on the screen. */
import type { Problem } from './contract';
import { isTable, type Table, valueAt } from './document';
import { onceFieldLacking } from './once_readings';
import type { StepName } from './route';
import { capital } from './wording';

export interface FieldPlace {
  step: StepName;
  field: string;
}

export function signField(name: string, place: string): string {
  return place === '' ? `sign-${name}` : `sign-${name}-${place}`;
}

export function valueField(test: string, cylinder: number): string {
  return `reading-${test}-${cylinder}`;
}

export function readingField(test: string, key: string): string {
  return `reading-${test}-${key}`;
}

/** The first head is meant where none is named. */
export function faceField(part: string, head: number | undefined): string {
  return head === undefined || head === 1 ? `face-${part}` : `face-${part}-${head}`;
}

function parts(pointer: string): string[] {
  return pointer
    .split('/')
    .slice(1)
    .map((part) => part.replace(/~1/g, '/').replace(/~0/g, '~'));
}

function readingPlace(document: Table, [index, key, value]: string[]): FieldPlace | undefined {
  const test = valueAt(document, ['reading', Number(index), 'test']);
  if (typeof test !== 'string') return undefined;
  if (key === 'values' && value !== undefined) return { step: 'checks', field: valueField(test, Number(value) + 1) };
  if (key !== undefined && key !== 'values') return { step: 'checks', field: readingField(test, key) };
  const lacking = onceFieldLacking(document, test);
  if (lacking !== undefined) return { step: 'checks', field: lacking };
  // Leak-down pressures that cannot be read as a whole lack the supply they are set against.
  const lacksSupply = test === 'leak_down' && valueAt(document, ['reading', Number(index), 'supply']) === undefined;
  return { step: 'checks', field: lacksSupply ? readingField(test, 'supply') : valueField(test, 1) };
}

function facePlace(document: Table, [index]: string[]): FieldPlace | undefined {
  const face = valueAt(document, ['face', Number(index)]);
  if (!isTable(face) || typeof face['part'] !== 'string') return undefined;
  return { step: 'faces', field: faceField(face['part'], typeof face['head'] === 'number' ? face['head'] : undefined) };
}

/** The field of a JSON pointer such as /reading/0/values/1, or undefined when the screen has none for it. */
export function fieldOf(pointer: string | undefined, document: Table, stepOfSign: (name: string) => StepName): FieldPlace | undefined {
  const [head, ...rest] = parts(pointer ?? '');
  if (head === 'reading') return readingPlace(document, rest);
  if (head === 'face') return facePlace(document, rest);
  if (head === 'workshop' && rest[0] !== undefined) return { step: 'decision', field: `workshop-${rest[0]}` };
  if (head === 'cut' && rest[0] !== undefined) return { step: 'machining', field: `cut-${rest[0]}` };
  if (head === 'history' && rest[0] === 'mileage') return { step: 'complaint', field: 'job-mileage' };
  if (rest.length === 0 && (head === 'number' || head === 'title')) return { step: 'complaint', field: `job-${head}` };
  if (head === 'signs' && rest[0] !== undefined) return { step: stepOfSign(rest[0]), field: signField(rest[0], rest[1] ?? '') };
  return undefined;
}

/** The option that a problem of an operation is about: "--gas" and "/options/gas" are both "gas"; "" when it is about none. */
export function optionOf(pointer: string | undefined): string {
  return /^(?:--|\/options\/)([a-z-]+)/.exec(pointer ?? '')?.[1] ?? '';
}

const stopped = (text: string): string => (text === '' || /[.!?]$/.test(text) ? text : `${text}.`);

/** Names of the job file as they are said on the screen. */
const plainNames = (text: string): string =>
  text
    .replace(/leak_down/g, 'leak-down')
    .replace(/\b(pressure_hold|cold_rise|gas_in_coolant|water_in_oil|release_torque|starter_current)\b/g, (name) => name.replace(/_/g, ' '))
    .replace(/`(\w+)`/g, '$1');

/** In sentences: what is wrong, what is allowed, how to mend it. */
export function problemText(problem: Problem): string {
  const asked = /[?]$/.test(problem.mend ?? '');
  const allowed = problem.allowed ? ` Allowed: ${problem.allowed}` : '';
  const mend = problem.mend ? ` ${asked ? capital(problem.mend) : `To mend it: ${problem.mend}`}` : '';
  return plainNames([problem.what, allowed, mend].map(stopped).join(''));
}

export function isError(problem: Problem): boolean {
  return problem.severity !== 'warning' && problem.severity !== 'note';
}

/** What to say at each field; a field with several problems says them all. */
export function textsByField(problems: readonly Problem[], document: Table, stepOfSign: (name: string) => StepName): Map<string, string> {
  const texts = new Map<string, string>();
  for (const problem of problems) {
    const field = fieldOf(problem.place?.pointer, document, stepOfSign)?.field;
    if (field === undefined) continue;
    const before = texts.get(field);
    texts.set(field, before === undefined ? problemText(problem) : `${before} ${problemText(problem)}`);
  }
  return texts;
}
