/** A check that is proposed: what it is called and where it is recorded. */
import type { NextCheck, Question } from './contract';
import { signField } from './problems';
import { placesOf, stepOf } from './questions';
import { routeTo } from './route';
import { capital, placeText } from './wording';

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
