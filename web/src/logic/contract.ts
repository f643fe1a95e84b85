/** What the server sends: the keys that `--json` prints and docs/http describes. */
import type { Table } from './document';

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
}

export interface Saved {
  id: string;
  revision: number;
  changed_at: string;
}

export interface StoredJob extends Saved {
  document: Table;
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
}

export interface RepairOption {
  option: string;
  text: string;
  chance: number;
  put_right_minutes: number;
  left_minutes: number;
  advised: boolean;
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

export interface ReadingResult {
  cylinders: CylinderResult[];
  notes?: string[];
  pairs?: { bridge: string; text: string }[];
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
  options: RepairOption[];
  leak_down?: ReadingResult;
  compression?: ReadingResult;
  faces: FaceResult[];
  papers?: unknown[];
  warnings: Problem[];
  basis?: string;
  plan?: { breach: string | null; face: string | null };
}
