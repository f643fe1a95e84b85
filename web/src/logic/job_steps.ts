/** What stands beside each step: done, open, or how many of how many. */
import type { Question } from './contract';
import { isTable, type Table, valueAt } from './document';
import { checksOf, complaintsOf, progressOf, readingProgress } from './questions';
import { STEP_TITLES, STEPS, type StepName } from './route';

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

function facesState(document: Table): string {
  const faces = valueAt(document, ['face']);
  return Array.isArray(faces) && faces.some((face) => isTable(face) && (face['table'] || face['file'])) ? 'done' : 'open';
}

export function stepLines(document: Table, questions: readonly Question[], hasFinding: boolean): StepLine[] {
  const states: Record<StepName, string> = {
    complaint: answered(document, complaintsOf(questions)),
    checks: answered(document, checksOf(document, questions)),
    finding: hasFinding ? '' : 'open',
    decision: '',
    faces: facesState(document),
    papers: '',
  };
  return STEPS.map((step) => ({ step, title: STEP_TITLES[step], state: states[step] }));
}
