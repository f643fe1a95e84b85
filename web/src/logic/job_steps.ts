/** What stands beside each step: done, open, or how many of how many. */
import type { Assessment, Question } from './contract';
import { CUT_FIELDS, cutText } from './cut';
import { isTable, type Table, textAt, valueAt } from './document';
import { faceParts, facePath, measuredCount, storedTable, UNFINISHED } from './face_points';
import { checksOf, complaintsOf, progressOf, readingProgress } from './questions';
import { isOffered, STEP_TITLES, STEPS, type StepName } from './route';

export interface StepLine {
  step: StepName;
  title: string;
  state: string;
}

function counted(done: number, all: number): string {
  if (all === 0) return '';
  return done === all ? 'done' : done === 0 ? 'open' : `${done} of ${all}`;
}

function answered(document: Table, asked: readonly Question[]): string {
  const progress = asked.map((question) => (question.kind === 'reading' ? readingProgress(document, question.name) : progressOf(document, question)));
  return counted(progress.filter((state) => state !== 'open').length, asked.length);
}

/** The joint is opened when the head is off already or the figures call for it. */
export function isJointOpened(document: Table, assessment: Assessment | undefined): boolean {
  return document['head_off'] === true || (assessment?.repairs ?? []).some((repair) => repair.repair === 'open_joint' && repair.advised);
}

function facesState(document: Table, needed: string): string {
  const parts = faceParts(document);
  const unfinished = parts.find((part) => textAt(document, facePath(part, 'void')) === UNFINISHED);
  if (unfinished) {
    const table = storedTable(document, unfinished);
    return counted(measuredCount(table), table.rows.length);
  }
  const faces = valueAt(document, ['face']);
  return Array.isArray(faces) && faces.some((face) => isTable(face) && (face['table'] || face['file'] || face['points'])) ? 'done' : needed;
}

/** No cut is needed when every face that was measured passes. */
function machiningState(document: Table, assessment: Assessment | undefined, needed: string): string {
  if (CUT_FIELDS.some(({ key }) => cutText(document, key) !== '')) return 'done';
  const faces = assessment?.faces ?? [];
  return faces.length > 0 && faces.every((face) => face.decision === 'pass') ? 'not needed' : needed;
}

/** A decision that the page records in these words. */
export const CLAMP_JUDGED = 'joint judged by its clamping';
export const TIGHTENED = 'head tightened';
export const PROVEN = 'repair proven';

export function hasDecided(document: Table, what: string): boolean {
  const decisions = valueAt(document, ['decision']);
  return Array.isArray(decisions) && decisions.some((decision) => isTable(decision) && decision['what'] === what);
}

export function stepLines(document: Table, questions: readonly Question[], assessment: Assessment | undefined, operations: readonly string[]): StepLine[] {
  const needed = isJointOpened(document, assessment) ? 'open' : assessment ? 'not needed' : '';
  const decisions = valueAt(document, ['decision']);
  const states: Record<StepName, string> = {
    complaint: answered(document, complaintsOf(questions)),
    checks: answered(document, checksOf(document, questions)),
    finding: assessment ? 'done' : 'open',
    decision: Array.isArray(decisions) && decisions.length > 0 ? 'done' : 'open',
    faces: facesState(document, needed),
    machining: machiningState(document, assessment, needed),
    clamp: hasDecided(document, CLAMP_JUDGED) ? 'done' : needed,
    tightening: hasDecided(document, TIGHTENED) ? 'done' : needed,
    proof: hasDecided(document, PROVEN) ? 'done' : needed,
    papers: '',
  };
  return STEPS.filter((step) => isOffered(step, operations)).map((step) => ({ step, title: STEP_TITLES[step], state: states[step] }));
}
