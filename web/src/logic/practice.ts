/** Practice: what the operation answers, and how moves are written. The program keeps nothing: it is asked anew with all moves. */
import type { Caution, Finding } from './contract';
import type { Picture } from './operation_answers';

export interface PracticeCheck {
  number: number;
  check: string;
  text: string;
  question: string;
  kind: string;
  places: string[];
  set_up: string;
  set_up_done: boolean;
  minutes: number;
  price: number;
  set_up_minutes: number;
  cost: number;
  with_head_off: boolean;
  status: 'open' | 'partly done' | 'done' | 'too late';
  cannot_see: string;
  cautions: Caution[];
}

export interface PracticeLook {
  check: string;
  where: string;
  text: string;
  answer: string;
  found: boolean;
}

export interface PracticeMove {
  move: string;
  text: string;
  looks: PracticeLook[];
  minutes: number;
  note: string;
}

export interface PracticeName {
  name: string;
  text: string;
  group: 'seal' | 'elsewhere' | 'why';
  places: string[];
}

export interface PracticeJudgement {
  name: string;
  where: string;
  text: string;
  words: string;
  put_right_minutes: number;
  left_minutes: number;
}

export interface PracticeWalk {
  moves: PracticeMove[];
  judged: PracticeJudgement[];
  check_minutes: number;
  repair_minutes: number;
  left_minutes: number;
  total_minutes: number;
}

export interface PracticeScore {
  sentence: string;
  truth: { name: string; where: string; text: string }[];
  causes: { name: string; where: string; text: string }[];
  learner: PracticeWalk;
  policy: PracticeWalk;
  expected_at_once_minutes: number;
  expected_decision_minutes: number;
  best_decision_minutes: number;
  finding: Finding;
  lessons: { kind: string; text: string; minutes: number }[];
}

export interface PracticeState {
  seed: number;
  level: string;
  level_text: string;
  engine: string;
  cylinders: number;
  facts: string[];
  told: string[];
  denied: string[];
  minutes: number;
  head_off: boolean;
  moves: PracticeMove[];
  checks: PracticeCheck[];
  names: PracticeName[];
  score: PracticeScore | null;
  pictures?: Picture[];
}

export const LEVELS = [
  { level: 'one', title: 'One clear fault', text: 'The story fits what is wrong.' },
  { level: 'misleading', title: 'Misleading signs', text: 'The story and some checks point away from it.' },
  { level: 'two', title: 'Two faults', text: 'The joint and something else.' },
  { level: 'false-alarm', title: 'False alarm', text: 'It looks like the joint, and is not.' },
] as const;

export const LARGEST_SEED = 999_999_999;

/** The number of an engine as it stands in the address; undefined when it is none. */
export function seedOf(text: string): number | undefined {
  const plain = text.trim();
  if (!/^\d{1,9}$/.test(plain)) return undefined;
  return Number(plain);
}

export function isLevel(word: string): boolean {
  return LEVELS.some((one) => one.level === word);
}

export function moveText(check: string, place: string): string {
  return place === '' ? check : `${check} ${place}`;
}

/** What a naming chooses: a fault and its place, several of them, or nothing. */
export interface Named {
  name: string;
  where: string;
}

export function namingText(named: readonly Named[]): string {
  if (named.length === 0) return 'name nothing';
  return `name ${named.map((one) => moveText(one.name, one.where)).join(', ')}`;
}

/** Checks that share a set-up stand together, in the order of the list; those that need none come first. */
export interface CheckGroup {
  setUp: string;
  done: boolean;
  minutes: number;
  withHeadOff: boolean;
  checks: PracticeCheck[];
}

export function groupsOf(checks: readonly PracticeCheck[]): CheckGroup[] {
  const groups: CheckGroup[] = [];
  for (const check of checks) {
    let group = groups.find((one) => one.setUp === check.set_up && one.withHeadOff === check.with_head_off);
    if (!group) {
      group = { setUp: check.set_up, done: check.set_up_done, minutes: check.set_up_minutes, withHeadOff: check.with_head_off, checks: [] };
      groups.push(group);
    }
    group.checks.push(check);
  }
  return groups.sort((a, b) => Number(a.withHeadOff) - Number(b.withHeadOff) || Number(a.setUp !== '') - Number(b.setUp !== ''));
}

/** What buying it costs now: at one place, or at all that are left. */
export function costOf(check: PracticeCheck, place: string): number {
  if (check.status === 'done') return 0;
  return place === '' ? check.cost : check.minutes + check.price + check.set_up_minutes;
}

/** The last answer in one line, for the ear. */
export function spokenMove(move: PracticeMove): string {
  const answers = move.looks.map((look) => (move.looks.length > 1 && look.where !== '' ? `${look.where}: ${look.answer}` : look.answer));
  const title = move.looks.length === 1 ? (move.looks[0]?.text ?? move.text) : move.text;
  return `${title}: ${answers.join(', ')}. ${Math.round(move.minutes)} minutes.`;
}

/** Moves are kept for the tab, so that a reload loses nothing. */
export class KeptMoves {
  constructor(private readonly storage: Pick<Storage, 'getItem' | 'setItem' | 'removeItem'>) {}

  private key(level: string, seed: number): string {
    return `practice ${level} ${seed}`;
  }

  read(level: string, seed: number): string[] {
    try {
      const kept: unknown = JSON.parse(this.storage.getItem(this.key(level, seed)) ?? '[]');
      return Array.isArray(kept) ? kept.filter((move): move is string => typeof move === 'string') : [];
    } catch {
      return [];
    }
  }

  write(level: string, seed: number, moves: readonly string[]): void {
    try {
      if (moves.length === 0) this.storage.removeItem(this.key(level, seed));
      else this.storage.setItem(this.key(level, seed), JSON.stringify(moves));
    } catch {
      // A browser that keeps nothing still plays.
    }
  }
}
