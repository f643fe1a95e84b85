/** The shop's record: what the operation answers, and keeping what was learnt. */
import { type Api } from './api';
import type { Problem } from './contract';
import type { Picture } from './operation_answers';

export interface RangedFigure {
  value: number | null;
  low: number | null;
  high: number | null;
}

export interface Share {
  hits: number;
  cases: number;
  share: number | null;
  low: number;
  high: number;
}

export interface RecordedJob {
  source: string;
  number: string;
  title: string;
  verified: string;
  counts: boolean;
  why_not: string;
  joint_failed: number | null;
  leading: string;
  leading_chance: number;
  joint_found: boolean;
  found: string[];
  rank: number;
  check_minutes: number;
  saved_minutes: number | null;
}

export interface Strength {
  kind: 'chance' | 'strength' | 'false_positive';
  cause: string;
  sign: string;
  grade: number;
  shipped: number;
  hits: number;
  cases: number;
  learnt: number;
  low: number;
  high: number;
}

export interface ShopRecordAnswer {
  jobs: RecordedJob[];
  counted: number;
  open: number;
  not_verified: number;
  brier: RangedFigure;
  log_score: RangedFigure;
  brier_before: RangedFigure;
  log_score_before: RangedFigure;
  log_score_learnt?: RangedFigure;
  found_first: Share;
  found_among_three: Share;
  failures_called: Share;
  false_alarms_cleared: Share;
  saved_minutes: RangedFigure;
  saved_total_minutes: number;
  saved_money?: RangedFigure;
  currency?: string;
  equivalent_cases: number;
  strengths: Strength[];
  learnt: string;
  notes: string[];
  left_out?: Problem[];
  pictures?: Picture[];
}

export function shopRecord(api: Api): Promise<ShopRecordAnswer> {
  return api.ask<ShopRecordAnswer>('/shop-record', {}, 120_000);
}

/** "0.12 (0.05 to 0.19)"; a figure without a range says so. */
export function rangedText(figure: RangedFigure, digits: number): string {
  if (figure.value === null) return 'not known';
  if (figure.low === null || figure.high === null) return `${figure.value.toFixed(digits)} (no range: too few jobs)`;
  return `${figure.value.toFixed(digits)} (${figure.low.toFixed(digits)} to ${figure.high.toFixed(digits)})`;
}

/** "7 of 9 (45 to 94 %)" */
export function shareText(share: Share): string {
  if (share.cases === 0) return 'no such job';
  return `${share.hits} of ${share.cases} (${Math.round(100 * share.low)} to ${Math.round(100 * share.high)} %)`;
}

const plain = (name: string): string => name.replace(/_/g, ' ');

export function strengthText(strength: Strength): string {
  const grade = strength.grade > 1 ? ` (grade ${strength.grade})` : '';
  if (strength.kind === 'chance') return `${plain(strength.cause)}: how often there`;
  if (strength.kind === 'strength') return `${plain(strength.sign)}${grade}, with ${plain(strength.cause)} alone`;
  return `${plain(strength.sign)}${grade}, with nothing behind it`;
}

/** Those that moved most, weighed by their cases. */
export function movedMost(strengths: readonly Strength[], most: number): Strength[] {
  const moved = (one: Strength): number => Math.abs(one.learnt - one.shipped) * one.cases;
  return [...strengths].sort((a, b) => moved(b) - moved(a)).slice(0, most);
}

/** What was found, or why the job does not count. */
export function outcomeText(job: RecordedJob): string {
  if (job.verified === '') return 'open';
  const found = job.found.length > 0 ? job.found.join('; ') : 'nothing wrong';
  return job.counts ? found : `${found} (does not count: ${job.why_not})`;
}
