/** What the server sends: the keys that `--json` prints and docs/http describes. */
import type { Json, Table } from './document';
import type { OptionLine } from './repair_options';

export interface Place {
  source?: string;
  line?: number;
  column?: number;
  pointer?: string;
}

export interface Problem {
  place?: Place;
  severity?: string;
  what: string;
  allowed?: string;
  mend?: string;
}

export interface JobSummary {
  id: string;
  revision: number;
  changed_at: string;
  number: string;
  title: string;
  engine: string;
  owner?: string;
  who?: string;
  opened?: string;
  binned_at?: string;
}

export interface JobList {
  jobs: JobSummary[];
  total?: number;
  next?: string | null;
}

/** One entry of a job that a change gave another value; a value that is null was not there, or is not any more. */
export interface Difference {
  path: string;
  old?: Json;
  new?: Json;
}

export interface Revision {
  revision: number;
  changed_at: string;
  who?: string;
  note: string;
  kind?: string; /** opened, saved, undone, redone, reverted, binned, restored */
  changes?: Difference[];
  more_changes?: number | boolean;
}

/** A document of the shop: prices, tools, limits and the like. */
export interface ShopDocument extends Saved {
  text: string;
  example?: string;
  title?: string;
}

export interface ShopSummary {
  name: string;
  title?: string;
  revision: number;
  changed_at?: string;
  who?: string;
}

export interface EngineSummary {
  id: string;
  name: string;
  cylinders: number | string;
  layout: string;
  fuel: string;
}

export interface RestoreOutcome {
  jobs: number;
  engines: number;
  photos: number;
  kept_beside?: string;
}

export interface RevisionList {
  revisions: Revision[];
  next?: number | null;
}

/** A change that can be taken back or made again. */
export interface ChangeNote {
  note: string;
  who?: string;
  changed_at?: string;
}

export interface Saved {
  id: string;
  revision: number;
  changed_at: string;
  who?: string;
  undo?: ChangeNote | null;
  redo?: ChangeNote | null;
}

export interface StoredJob extends Saved {
  document: Table;
  binned_at?: string; /** it was removed then */
}

export interface Caution {
  id: string;
  level: string;
  hazard: string;
  consequence: string;
  avoid: string;
  source?: string;
}

export type QuestionKind = 'symptom' | 'history' | 'test' | 'reading';

export interface Question {
  name: string;
  text: string;
  question: string;
  kind: QuestionKind;
  scope: string;
  places: string[];
  states: string[];
  minutes: number;
  needs: string;
  cannot_see: string;
  cautions: Caution[];
}

export interface Chance {
  value: number;
  low: number;
  high: number;
}

/** A seal path (`path`), a reason why the joint failed or a rival (`cause`). */
export interface Suspect {
  path?: string;
  cause?: string;
  where?: string;
  text?: string;
  probability: number;
  low?: number;
  high?: number;
  before?: number;
}

export interface Weight {
  sign: string;
  where?: string;
  text?: string;
  about?: string;
  weight: number;
  words: string;
}

export interface Conflict {
  sign: string;
  where?: string;
  text?: string;
  bits?: number;
}

/** A strength that, moved by one step, would turn the action on the joint. */
export interface Flip {
  sign: string;
  where?: string;
  text: string;
  joint_failed: number;
}

/** The verdict after one more entry of the job. */
export interface VerdictStep {
  entry: string;
  joint_failed: number;
  leading: string;
  leading_probability: number;
}

export interface Finding {
  status: string;
  sentence: string;
  joint_failed: Chance;
  paths: Suspect[];
  causes: Suspect[];
  rivals: Suspect[];
  for_and_against: Weight[];
  conflicts: Conflict[];
  not_counted: string[];
  explanation?: Suspect[]; /** the few causes that together explain most */
  explanation_factor?: number;
  flips?: Flip[];
  line?: VerdictStep[];
}

/** Where one outcome of a check would take the verdict. */
export interface CheckOutcome {
  state: string;
  probability: number;
  joint_failed: number;
  then: string; /** the repair that would then be advised; "" for none */
}

/** Checks worth doing in one go. */
export interface CheckPack {
  checks: string[];
  text: string;
  net_value: number;
  cost: number;
}

export interface NextCheck {
  check: string;
  where: string;
  text: string;
  question?: string;
  net_value: number;
  value?: number;
  cost?: number;
  minutes: number;
  why: string;
  cannot_see?: string;
  cautions: Caution[];
  outcomes?: CheckOutcome[];
  behind_opening?: boolean; /** only with the head off */
}

/** One repair that the evidence may call for, weighed alone. */
export interface CauseRepair {
  repair: string;
  text: string;
  chance: number;
  put_right_minutes: number;
  left_minutes: number;
  advised: boolean;
  advice?: string; /** "advised", "check first", "not yet" */
}

export interface CylinderResult {
  cylinder: number;
  status?: string;
  leak_area_mm2?: number;
  low_mm2?: number;
  high_mm2?: number | null;
  loss?: number;
  suspect?: boolean;
  expected_bar?: number;
  ratio?: number;
}

/** Two neighbours that are low together; the area of a breach between them, when the engine could be cranked in the model. */
export interface PairResult {
  bridge: string;
  text: string;
  leak_area_mm2?: number | null;
  low_mm2?: number | null;
  high_mm2?: number | null;
}

/** Where the air of a leak-down came out. */
export interface OutletResult {
  cylinder: number;
  outlet: string;
  how: string;
  share: number;
  leak_area_mm2?: number | null;
  low_mm2?: number | null;
  high_mm2?: number | null;
  never_sound?: boolean;
}

export interface ReadingResult {
  cylinders: CylinderResult[];
  notes?: string[];
  pairs?: PairResult[];
  outlets?: OutletResult[];
  level?: string;
  usual_low_bar?: number;
  usual_high_bar?: number;
  smallest_leak_mm2?: number;
  cautions?: Caution[];
}

export interface FaceResult {
  part: string;
  head?: string;
  points: number;
  not_measured?: number;
  minimum_zone?: { FLTt_mm: number; contact?: string };
  least_squares?: { FLTt_mm: number };
  limit_mm?: number;
  limit_source?: string;
  uncertainty_mm?: number;
  decision?: string;
  decision_text?: string;
  notes?: string[];
}

export interface Assessment {
  version: string;
  job?: { number?: string; title?: string };
  engine?: { name?: string; cylinders?: number; layout?: string };
  finding: Finding;
  next_checks: NextCheck[];
  packs?: CheckPack[];
  stop?: string; /** "Enough is known: ..."; "" while a check is worth its cost */
  options?: OptionLine[]; /** what may be done now, with its cost */
  repairs?: CauseRepair[];
  leak_down?: ReadingResult;
  compression?: ReadingResult;
  faces: FaceResult[];
  papers?: unknown[];
  warnings: Problem[];
  basis?: string;
  plan?: { breach: string | null; face: string | null; seen?: string | null };
}
