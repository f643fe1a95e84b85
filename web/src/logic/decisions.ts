/** What was decided on the job: lines of the job file with what, why and when. */
import { type Edit, isTable, type Table, textAt, valueAt } from './document';

export interface Decision {
  what: string;
  why: string;
  when: string;
}

export function decisionsOf(document: Table): Decision[] {
  const list = valueAt(document, ['decision']);
  if (!Array.isArray(list)) return [];
  return list.filter(isTable).map((row) => ({ what: textAt(row, ['what']), why: textAt(row, ['why']), when: textAt(row, ['when']) }));
}

/** Edits that put a decision in, or change the one in the same words. */
export function decisionEdits(decision: Decision): Edit[] {
  const match = { match: { what: decision.what } };
  const keys = (['what', 'why', 'when'] as const).filter((key) => decision[key] !== '');
  return keys.map((key) => ({ path: ['decision', match, key], value: decision[key] }));
}

export function decisionDropped(what: string): Edit[] {
  return [{ path: ['decision', { match: { what } }] }];
}

export function dayText(now: Date): string {
  const two = (number: number): string => String(number).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}
