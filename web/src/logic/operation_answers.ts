/** What the operations answer: the fixed keys, and those beside them that the page shows when they are there. */
import type { Caution, FaceResult, Problem } from './contract';

export interface Picture {
  name: string;
  title: string;
  svg: string;
  table: string;
}

interface Answer {
  pictures?: Picture[];
  notes?: string[];
  warnings?: (string | Problem)[];
  cautions?: Caution[];
  assumed?: string[];
}

export interface FlatnessAnswer extends FaceResult, Answer {
  notes?: string[];
  face?: { point: string | number; x_mm: number; y_mm: number; deviation_mm: number }[];
}

/** One thing that is checked before or after a cut, in the order to do it. */
export interface MachineCheck {
  check: string;
  why: string;
  limit?: string;
  source?: string;
  recorded?: string;
  state: string; /** "to do", "good", "bad" */
  stops_the_cut?: boolean;
}

export interface SkimAnswer extends Answer {
  least_cut_mm?: number | null;
  cut_parallel_mm?: number | null;
  finish_mm?: number | null;
  total_cut_mm?: number | null; /** parallel cut and finish pass: what to order */
  passes?: number;
  height_left_mm?: number | null;
  least_height_mm?: number | null;
  may_still_go_mm?: number | null;
  cut_needed?: string;
  decision?: string;
  decision_text?: string;
  because?: string[];
  missing?: string[];
  assumed?: string[];
  checks?: MachineCheck[];
  after?: AfterSkimAnswer | null;
}

export interface BeforeAfter {
  before?: number | null;
  after?: number | null;
  at_deg?: number | null;
}

/** One line of what a cut changes; numbers in `unit`. */
export interface ConsequenceLine {
  line: string;
  name: string;
  unit: string;
  before: number | null;
  after: number | null;
  band?: number | null;
  least?: number | null;
  most?: number | null;
  limit_source?: string;
  verdict?: string;
  at_deg_before?: number | null;
  at_deg_after?: number | null;
  after_with_cam_set_back?: number;
  gasket_to_restore_mm?: number | null;
  gasket_to_suffice_mm?: number | null;
  remedies?: string[];
  missing?: string[];
  assumed?: string[];
  note?: string;
}

export interface AfterSkimAnswer extends Answer {
  compression_ratio?: BeforeAfter;
  squish_mm?: BeforeAfter;
  valve_gap_mm?: { intake?: BeforeAfter; exhaust?: BeforeAfter };
  cam_timing_deg?: { cam?: number | null; crank?: number | null };
  lash_change_mm?: number | null;
  sentence?: string;
  out_of_limit?: boolean;
  gasket_grade?: string;
  lines?: ConsequenceLine[];
}

export interface FireRing {
  bore: number;
  line_load_min_N_per_mm: number;
  line_load_mean_N_per_mm: number;
  line_load_max_N_per_mm: number;
  angle_of_min_deg: number;
  force_N: number;
  margin: number | null;
}

export interface ClampAnswer extends Answer {
  status: string;
  status_text?: string;
  sentence?: string;
  steps: number;
  reaction_N: number;
  applied_N: number;
  contact_area_mm2: number;
  open_area_fraction: number;
  deflection_max_mm: number;
  fire_rings: FireRing[];
  passages: { number: number; pressure_min_MPa: number; margin?: number | null; kind?: string }[];
  bolts: { number: number; force_N: number; movement_mm: number }[];
}

export interface SealChanceAnswer extends Answer {
  chance: number;
  low: number;
  high: number;
  weakest: ({ text?: string; bore?: number; passage?: number; where?: string; share?: number; chance?: number } | string)[];
  contributions?: { input?: string; text?: string; share?: number }[];
  inputs?: { input?: string; text?: string; share?: number }[];
  samples: number;
  seconds: number;
}

export interface TightenPass {
  bolts: { number: number; force_N: number }[];
  min_N: number;
  max_N: number;
  mean_N: number;
  std_N: number;
}

export interface TightenAnswer extends Answer {
  passes: TightenPass[];
  recommended?: { order: number[]; passes: number; text?: string };
}
