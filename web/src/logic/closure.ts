/** The end of a job: what was found and how that was verified, as lines of the job document. */
import type { Finding } from './contract';
import { type Edit, isTable, type Table, textAt, valueAt } from './document';

export const VERIFIED = [
  { word: 'head off', text: 'seen with the head off' },
  { word: 'pressure test', text: 'shown by a pressure test' },
  { word: 'repair proved', text: 'put right, and the complaint did not come back' },
  { word: 'not verified', text: 'believed, not proved' },
] as const;

export interface Found {
  cause: string;
  where: string;
}

/** A fault that can be noted as found; the likeliest stand first. */
export interface Findable extends Found {
  text: string;
  probability: number;
}

export function findables(finding: Finding | undefined): Findable[] {
  if (!finding) return [];
  const all = [...finding.paths, ...finding.rivals, ...finding.causes];
  return all
    .map((one) => ({ cause: one.path ?? one.cause ?? '', where: one.where ?? '', text: one.text ?? '', probability: one.probability }))
    .filter((one) => one.cause !== '')
    .sort((a, b) => b.probability - a.probability);
}

export function isClosed(document: Table): boolean {
  return isTable(valueAt(document, ['closure']));
}

export function verifiedOf(document: Table): string {
  return textAt(document, ['closure', 'verified']);
}

export function foundOf(document: Table): Found[] {
  const list = valueAt(document, ['closure', 'found']);
  if (!Array.isArray(list)) return [];
  return list.filter(isTable).map((row) => ({ cause: textAt(row, ['cause']), where: textAt(row, ['where']) }));
}

const stepOf = (found: Found): { match: Record<string, string> } => ({ match: found.where === '' ? { cause: found.cause } : { cause: found.cause, where: found.where } });

/** A thing found; a job that had no closure becomes one that is not verified yet. */
export function foundEdits(document: Table, found: Found): Edit[] {
  const edits: Edit[] = [];
  if (verifiedOf(document) === '') edits.push({ path: ['closure', 'verified'], value: 'not verified' });
  edits.push({ path: ['closure', 'found', stepOf(found), 'cause'], value: found.cause });
  return edits;
}

export function foundDropped(found: Found): Edit[] {
  return [{ path: ['closure', 'found', stepOf(found)] }];
}

export function verifiedEdits(word: string, day: string): Edit[] {
  return [
    { path: ['closure', 'verified'], value: word },
    { path: ['closure', 'when'], value: day },
  ];
}

/** Number of minutes or money as typed; an edit that takes it out when the field is empty; undefined when it is no number. */
export function figureEdit(key: 'minutes' | 'cost', typed: string): Edit | undefined {
  const plain = typed.trim().replace(',', '.');
  if (plain === '') return { path: ['closure', key] };
  const value = Number(plain);
  return Number.isFinite(value) && value >= 0 ? { path: ['closure', key], value } : undefined;
}

export function reopened(): Edit[] {
  return [{ path: ['closure'] }];
}
