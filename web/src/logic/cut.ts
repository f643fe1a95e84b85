/** The cut that is ordered and the gasket that goes on, as the job document carries them; what the cut changes, line by line. */
import { type Edit, isTable, type Json, type Path, type Table, textAt, valueAt } from './document';
import { joinMeasure } from './number_text';
import type { AfterSkimAnswer, BeforeAfter, ConsequenceLine } from './operation_answers';
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

/** The options of `after-skim`: what is typed in the fields now, in the reader's unit where none was typed. Blank is left to the engine file. */
export function cutOptions(drafts: Readonly<Record<CutKey, string>>, unit: string): Record<CutKey, string> {
  return { head: joinMeasure(drafts.head, unit) || '0 mm', deck: joinMeasure(drafts.deck, unit) || '0 mm', gasket: joinMeasure(drafts.gasket, unit) };
}

/** What the cut changes: the program's own lines, or those that its fixed keys make. */
export function consequenceLines(answer: AfterSkimAnswer): ConsequenceLine[] {
  if (answer.lines && answer.lines.length > 0) return answer.lines;
  const line = (text: string, unit: string, value: BeforeAfter | undefined): ConsequenceLine[] => (value && (value.before != null || value.after != null) ? [{ text, unit, before: value.before ?? null, after: value.after ?? null }] : []);
  const change = (text: string, unit: string, value: number | null | undefined): ConsequenceLine[] => (value == null ? [] : [{ text, unit, before: 0, after: value }]);
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
const UNIT_WORDS: Record<string, string> = { deg: '°', degC: '°C' };

/** A figure of a line with its unit; a dash where there is none. */
export function lineFigure(value: number | null | undefined, unit: string | undefined): string {
  if (value == null || !Number.isFinite(value)) return '–';
  const shownUnit = UNIT_WORDS[unit ?? ''] ?? unit ?? '';
  return `${value.toFixed(DECIMALS[unit ?? ''] ?? 2)}${shownUnit === '' ? '' : shownUnit.startsWith('°') ? shownUnit : ` ${shownUnit}`}`;
}

const VERDICTS: Record<string, string> = {
  ok: 'within its limit',
  near_limit: 'at its limit: too near to be sure',
  out_of_limit: 'out of limit',
  cannot_say: 'cannot be said: a figure is missing',
  no_limit: 'no limit in the engine file',
};

export const isOut = (line: ConsequenceLine): boolean => line.verdict === 'out_of_limit';

export function verdictText(line: ConsequenceLine): string {
  return capital(line.verdict_text ?? VERDICTS[line.verdict ?? ''] ?? line.verdict?.replace(/_/g, ' ') ?? '');
}

export function lineName(line: ConsequenceLine): string {
  return capital(line.text ?? line.matter?.replace(/_/g, ' ') ?? '');
}
