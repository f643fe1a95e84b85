/** What was seen with the head off, in the document's own keys. */
import { type Edit, isTable, type Json, type Table, textAt, valueAt } from './document';

export interface Seen {
  part: string;
  where: string;
  kind: string;
  note: string;
}

export const SEEN_PARTS = ['gasket', 'head', 'block', 'bolt', 'liner', 'piston', 'valve', 'other'] as const;
export const SEEN_KINDS = ['burnt_track', 'soot_track', 'coolant_track', 'oil_track', 'washed', 'polished', 'deposit', 'crack', 'corroded', 'eroded', 'pitted', 'scored', 'dented', 'squeezed', 'torn', 'soft', 'stretched', 'rusted', 'sealant', 'sound', 'other'] as const;

export const spoken = (word: string): string => word.replaceAll('_', ' ');

function rows(document: Table): Json[] {
  const list = valueAt(document, ['seen']);
  return Array.isArray(list) ? list : [];
}

export function seenOf(document: Table): Seen[] {
  return rows(document)
    .filter(isTable)
    .map((row) => ({ part: textAt(row, ['part']), where: textAt(row, ['where']), kind: textAt(row, ['kind']), note: textAt(row, ['note']) }));
}

/** Blank keys are left out. */
export function addSeen(document: Table, seen: Seen): Edit[] {
  const entry: Table = Object.fromEntries(Object.entries(seen).filter(([, value]) => value.trim() !== ''));
  return [{ path: ['seen'], value: [...rows(document), entry] }];
}

export function dropSeen(document: Table, index: number): Edit[] {
  const left = rows(document).filter((_, at) => at !== index);
  return left.length === 0 ? [{ path: ['seen'] }] : [{ path: ['seen'], value: left }];
}

/** Places of this engine: the whole part, cylinders, bridges, bolts, passages. */
export function placesOf(document: Table, bridges: readonly string[]): { value: string; text: string }[] {
  const cylinders = Number(valueAt(document, ['engine', 'engine', 'cylinders']) ?? 0);
  const bolts = valueAt(document, ['engine', 'bolts', 'at']);
  const passages = valueAt(document, ['engine', 'passage']);
  const numbered = (count: number): number[] => Array.from({ length: Number.isFinite(count) ? count : 0 }, (_, index) => index + 1);
  return [
    { value: '', text: 'the whole part' },
    ...numbered(cylinders).map((number) => ({ value: String(number), text: `cylinder ${number}` })),
    ...bridges.map((bridge) => ({ value: bridge, text: `between ${bridge.replace('-', ' and ')}` })),
    ...numbered(Array.isArray(bolts) ? bolts.length : 0).map((number) => ({ value: `bolt ${number}`, text: `bolt ${number}` })),
    ...(Array.isArray(passages) ? passages : []).filter(isTable).map((passage) => ({ value: `passage ${textAt(passage, ['number'])}`, text: `passage ${textAt(passage, ['number'])}, ${spoken(textAt(passage, ['kind']))}` })),
  ];
}

export function seenText(seen: Seen): string {
  const where = seen.where === '' ? '' : /^\d+$/.test(seen.where) ? `, cylinder ${seen.where}` : /^\d+-\d+$/.test(seen.where) ? `, between ${seen.where.replace('-', ' and ')}` : `, ${seen.where}`;
  return `${seen.part}: ${spoken(seen.kind)}${where}${seen.note === '' ? '' : `; ${seen.note}`}`;
}

/** One text for every bolt, blank where none was measured. */
export function boltLengths(document: Table): string[] {
  const bolts = valueAt(document, ['engine', 'bolts', 'at']);
  const stored = valueAt(document, ['strip_down', 'bolt_lengths']);
  const count = Math.max(Array.isArray(bolts) ? bolts.length : 0, Array.isArray(stored) ? stored.length : 0);
  return Array.from({ length: count }, (_, index) => textAt(document, ['strip_down', 'bolt_lengths', index]));
}

export function boltEdits(document: Table, index: number, text: string): Edit[] {
  const lengths = boltLengths(document);
  lengths[index] = text;
  return lengths.every((one) => one === '') ? [{ path: ['strip_down', 'bolt_lengths'] }] : [{ path: ['strip_down', 'bolt_lengths'], value: lengths }];
}
