/** The cut that is ordered and the gasket that goes on, as the job document carries them; what the cut changes, line by line. */
import { type Edit, isTable, type Json, type Path, type Table, textAt, valueAt } from './document';
import { joinMeasure } from './number_text';
import type { AfterSkimAnswer, BeforeAfter, ConsequenceLine, SkimAnswer } from './operation_answers';
import { type LengthUnit, lengthIn } from './units';
import { capital } from './wording';

export type CutKey = 'head' | 'deck' | 'gasket';

export const CUT_FIELDS: readonly { key: CutKey; label: string; name: string }[] = [
  { key: 'head', label: 'Off the head', name: 'cut of the head' },
  { key: 'deck', label: 'Off the block’s deck', name: 'cut of the deck' },
  { key: 'gasket', label: 'Gasket when clamped', name: 'gasket thickness' },
];

export const cutPath = (key: CutKey): Path => ['cut', key];
export const cutField = (key: string): string => `cut-${key}`;

/** A figure of the document: its text, or the text of its table with an origin. */
export function figureAt(document: Json | undefined, path: Path): string {
  const value = valueAt(document, path);
  return isTable(value) ? textAt(value, ['value']) : textAt(document, path);
}

export const cutText = (document: Table, key: CutKey): string => figureAt(document, cutPath(key));

/** Edits that keep one figure of the cut; blank takes it away. */
export function cutEdits(key: CutKey, typed: string, unit: string): Edit[] {
  const text = joinMeasure(typed, unit);
  return [text === '' ? { path: cutPath(key) } : { path: cutPath(key), value: text }];
}

/** The depth to order for a face, with the finish pass; rounded up to a hundredth, as it must still clean up. Undefined when none is needed or known. */
export function depthToOrder(skim: SkimAnswer): number | undefined {
  const depth = skim.total_cut_mm ?? skim.cut_parallel_mm ?? skim.least_cut_mm;
  if (depth == null || !(depth > 0) || skim.cut_needed === 'no') return undefined;
  return Math.ceil(depth * 100 - 1e-6) / 100;
}

/** Which figure of the cut belongs to a face. */
export const cutKeyOf = (part: string): CutKey => (part === 'block' ? 'deck' : 'head');

/** The options of `after-skim`: what is typed in the fields now, in the reader's unit where none was typed. Blank is left to the engine file. */
export function cutOptions(drafts: Readonly<Record<CutKey, string>>, unit: string): Record<CutKey, string> {
  return { head: joinMeasure(drafts.head, unit) || '0 mm', deck: joinMeasure(drafts.deck, unit) || '0 mm', gasket: joinMeasure(drafts.gasket, unit) };
}

/** What the cut changes: the program's own lines, or those that its fixed keys make. */
export function consequenceLines(answer: AfterSkimAnswer): ConsequenceLine[] {
  if (answer.lines && answer.lines.length > 0) return answer.lines;
  const line = (name: string, unit: string, value: BeforeAfter | undefined): ConsequenceLine[] => (value && (value.before != null || value.after != null) ? [{ line: name, name, unit, before: value.before ?? null, after: value.after ?? null }] : []);
  const change = (name: string, unit: string, after: number | null | undefined): ConsequenceLine[] => (after == null ? [] : [{ line: name, name, unit, before: 0, after }]);
  return [
    ...line('compression ratio', '', answer.compression_ratio),
    ...line('squish height', 'mm', answer.squish_mm),
    ...line('gap, intake valve to piston', 'mm', answer.valve_gap_mm?.intake),
    ...line('gap, exhaust valve to piston', 'mm', answer.valve_gap_mm?.exhaust),
    ...change('cam timing, degrees of the crank', 'deg', answer.cam_timing_deg?.crank),
    ...change('change of lash', 'mm', answer.lash_change_mm),
  ];
}

const DECIMALS: Record<string, number> = { mm: 3, deg: 2, degC: 0, '': 2 };

/** A figure of a line with its unit; a dash where there is none. Lengths in the reader's unit, rounded as limits are by their callers. */
export function lineFigure(value: number | null | undefined, unit: string, length: LengthUnit): string {
  if (value == null || !Number.isFinite(value)) return '–';
  if (unit === 'mm' && length === 'thou') return `${lengthIn(value, 'thou').toFixed(1)} thou`;
  const number = value.toFixed(DECIMALS[unit] ?? 2);
  return unit === 'deg' ? `${number}°` : unit === 'degC' ? `${number} °C` : unit === '' ? number : `${number} ${unit}`;
}

/** The limits of a line: "at least 0.90 mm, at most 1.30 mm". Rounded to the safe side: a least up, a most down. */
export function limitOf(line: ConsequenceLine, length: LengthUnit): string {
  const steps = 10 ** (line.unit === 'mm' && length === 'thou' ? 1 : (DECIMALS[line.unit] ?? 2));
  const per = line.unit === 'mm' && length === 'thou' ? lengthIn(1, 'thou') : 1;
  const safe = (value: number, round: (number: number) => number, slack: number): number => round(value * per * steps + slack) / steps / per;
  return [
    line.least == null ? '' : `at least ${lineFigure(safe(line.least, Math.ceil, -1e-6), line.unit, length)}`,
    line.most == null ? '' : `at most ${lineFigure(safe(line.most, Math.floor, 1e-6), line.unit, length)}`,
  ]
    .filter((text) => text !== '')
    .join(', ');
}

const VERDICTS: Record<string, string> = {
  ok: 'within its limit',
  near_limit: 'near its limit: too near to be sure',
  out_of_limit: 'out of limit',
  cannot_say: 'cannot be said',
  no_limit: 'no limit given',
  not_run: 'not worked out',
};

export const isOut = (line: ConsequenceLine): boolean => line.verdict === 'out_of_limit';

export function verdictText(line: ConsequenceLine): string {
  return capital(VERDICTS[line.verdict ?? ''] ?? line.verdict?.replace(/_/g, ' ') ?? '');
}

/** What stands small under a line: where the gap is smallest, what would restore it, what is missing or assumed. */
export function lineNotes(line: ConsequenceLine, length: LengthUnit): string[] {
  const gasket = (mm: number): string => lineFigure(mm, 'mm', length);
  return [
    line.at_deg_after == null ? '' : `smallest ${Math.abs(line.at_deg_after).toFixed(0)}° ${line.at_deg_after < 0 ? 'before' : 'after'} top dead centre`,
    line.after_with_cam_set_back == null ? '' : `${lineFigure(line.after_with_cam_set_back, line.unit, length)} with the cam set back`,
    line.gasket_to_suffice_mm == null ? '' : `a gasket of ${gasket(line.gasket_to_suffice_mm)} would be enough`,
    line.gasket_to_restore_mm == null ? '' : `a gasket of ${gasket(line.gasket_to_restore_mm)} would restore it`,
    ...(line.remedies ?? []),
    line.missing?.length ? `missing in the engine file: ${line.missing.join(', ')}` : '',
    line.assumed?.length ? `rests on assumed figures: ${line.assumed.join(', ')}` : '',
    line.note ?? '',
  ].filter((note) => note !== '');
}

/** Lines that need a word first; what only lacks figures last. */
export function inOrderOfNeed(lines: readonly ConsequenceLine[]): ConsequenceLine[] {
  const rank = (line: ConsequenceLine): number => ({ out_of_limit: 0, near_limit: 1, cannot_say: 3 })[line.verdict ?? ''] ?? 2;
  return [...lines].sort((one, other) => rank(one) - rank(other));
}
