/** A check that is proposed: what it is called and where it is recorded. */
import type { CauseRepair, CheckOutcome, NextCheck, Question } from './contract';
import { signField } from './problems';
import { placesOf, stateLabel, stepOf } from './questions';
import { routeTo } from './route';
import { capital, chanceText, placeText, sentence } from './wording';

/** What to do, with its place where the words do not name it. */
export function checkHeading(check: NextCheck, questions: readonly Question[]): string {
  const scope = questions.find((question) => question.name === check.check)?.scope ?? '';
  const isNamed = check.where === '' || check.text.includes(check.where);
  return capital(check.text) + (isNamed ? '' : `, ${placeText(scope, check.where)}`);
}

/** A reading opens its form in the list of checks; any other question is gone to itself, at the place proposed. */
export function checkRoute(job: string, check: NextCheck, questions: readonly Question[]): string {
  const question = questions.find((one) => one.name === check.check);
  if (!question || question.kind === 'reading') return routeTo(job, 'checks', `check-${check.check}`);
  const place = question.places.length > 0 ? check.where || (placesOf(question)[0] ?? '') : '';
  return routeTo(job, stepOf(question), signField(check.check, place));
}

export interface OutcomeRow {
  state: string;
  likely: string;
  joint: string;
  then: string;
}

/** What each outcome would say, the likeliest first; outcomes that cannot come are left out. */
export function outcomeRows(outcomes: readonly CheckOutcome[]): OutcomeRow[] {
  return [...outcomes]
    .filter((outcome) => outcome.probability > 0)
    .sort((one, other) => other.probability - one.probability)
    .map((outcome) => ({ state: capital(stateLabel(outcome.state)), likely: chanceText(outcome.probability), joint: chanceText(outcome.joint_failed), then: outcome.then === '' ? 'nothing yet' : outcome.then }));
}

/** What the figures say about a repair. */
export function adviceText(repair: CauseRepair): string {
  if (repair.advice === 'check first') return 'check first: a check could turn it';
  return repair.advised ? 'do it' : 'leave it for now';
}

/** By how much the evidence speaks for the few causes together, in words with the number. */
export function explanationText(factor: number | undefined): string {
  if (factor === undefined || !(factor > 1)) return '';
  const shown = factor >= 1000 ? 'more than a thousand' : factor >= 10 ? factor.toFixed(0) : factor.toFixed(1);
  return sentence(`what was found is ${shown} times as likely with all of them there as without`);
}
