/** Which questions stand on which screen, and what has been answered. */
import type { Caution, Question } from './contract';
import { type Edit, isTable, type Path, type Table, valueAt } from './document';
import type { StepName } from './route';
import { capital, placeText } from './wording';

export const VOID = 'void';

export interface Choice {
  state: string;
  label: string;
}

const LABELS: Record<string, string> = { seen: 'Seen', absent: 'Absent', '': 'Not looked for', void: 'Done, but void' };

function label(state: string): string {
  return LABELS[state] ?? state.charAt(0).toUpperCase() + state.slice(1).replace(/_/g, ' ');
}

/** The answers offered: the telling state first, "not looked for" always, "done, but void" for tests. */
export function choicesOf(question: Question): Choice[] {
  const states = [...question.states].reverse();
  const more = question.kind === 'test' ? ['', VOID] : [''];
  return [...states, ...more].map((state) => ({ state, label: label(state) }));
}

export function stateLabel(state: string): string {
  return label(state).toLowerCase();
}

/** The screen that asks it. A face is measured on its own screen. */
export function stepOf(question: Question): StepName {
  if (question.name === 'head_face' || question.name === 'block_face') return 'faces';
  return question.kind === 'symptom' || question.kind === 'history' ? 'complaint' : 'checks';
}

/** The readings that have a form. */
export const READINGS: readonly string[] = ['compression', 'leak_down', 'starter_current'];

export function isReading(question: Question): boolean {
  return READINGS.includes(question.name);
}

/** What can be seen only with the head off is asked when it is off, and shown for as long as it has an answer. */
function isInReach(document: Table, question: Question): boolean {
  return document['head_off'] === true || !/head[_ ]off/i.test(question.needs) || progressOf(document, question) !== 'open';
}

/** The checks of this job as it stands, readings first. */
export function checksOf(document: Table, questions: readonly Question[]): Question[] {
  const checks = questions.filter((question) => stepOf(question) === 'checks' && (question.kind === 'test' || isReading(question)));
  return [...checks.filter(isReading), ...checks.filter((question) => !isReading(question) && isInReach(document, question))];
}

/** Each caution of these questions once, in their order. */
export function cautionsOf(questions: readonly Question[]): Caution[] {
  return [...new Map(questions.flatMap((question) => question.cautions.map((caution) => [caution.id, caution]))).values()];
}

export function complaintsOf(questions: readonly Question[]): Question[] {
  return questions.filter((question) => stepOf(question) === 'complaint');
}

export function questionText(question: Question): string {
  return question.question || capital(question.text);
}

/** What a change is called in the undo list and in the job's history. */
export function answerLabel(question: Question, place: string, state: string): string {
  const asked = question.question || question.text.replace(/ *\{place\}/g, '');
  return `${asked} ${place === '' ? '' : `${placeText(question.scope, place)}: `}${stateLabel(state)}`;
}

export function signPath(question: Pick<Question, 'name' | 'places'>, place: string): Path {
  return place === '' ? ['signs', question.name] : ['signs', question.name, place];
}

/** The answer in the document; a sign may also be a table that carries its state and a note. */
export function answerAt(document: Table, question: Pick<Question, 'name' | 'places'>, place: string): string {
  const value = valueAt(document, signPath(question, place));
  if (typeof value === 'string') return value;
  const state = isTable(value) ? value['state'] : undefined;
  return typeof state === 'string' ? state : '';
}

export function answerEdit(document: Table, question: Pick<Question, 'name' | 'places'>, place: string, state: string): Edit {
  const path = signPath(question, place);
  const noted = isTable(valueAt(document, path)) && valueAt(document, [...path, 'state']) !== undefined;
  if (state === '') return { path };
  return noted ? { path: [...path, 'state'], value: state } : { path, value: state };
}

export function placesOf(question: Question): string[] {
  return question.places.length > 0 ? question.places : [''];
}

export type Progress = 'open' | 'part' | 'done';

export function progressOf(document: Table, question: Question): Progress {
  const places = placesOf(question);
  const answered = places.filter((place) => answerAt(document, question, place) !== '').length;
  return answered === 0 ? 'open' : answered < places.length ? 'part' : 'done';
}

/** Where two readings of the same kind are compared, the whole set counts once. */
export function readingProgress(document: Table, test: string): Progress {
  const values = valueAt(document, ['reading', { match: { test } }, 'values']);
  if (!Array.isArray(values)) return 'open';
  const taken = values.filter((value) => typeof value === 'string' && value.trim() !== '').length;
  return taken === 0 ? 'open' : taken < values.length ? 'part' : 'done';
}

export interface Sieve {
  words: string;
  onlyOpen: boolean;
}

/** Every word typed must stand somewhere in the question. */
export function passes(question: Question, document: Table, sieve: Sieve): boolean {
  if (sieve.onlyOpen && progressOf(document, question) === 'done') return false;
  const text = `${question.question} ${question.text} ${question.name.replace(/_/g, ' ')} ${question.needs}`.toLowerCase();
  return sieve.words
    .toLowerCase()
    .split(/\s+/)
    .every((word) => text.includes(word));
}

/** An answer in words, for the line under a test: "absent at 2, seen at 3". */
export function answerText(document: Table, question: Question): string {
  const answers = placesOf(question)
    .map((place) => ({ place, state: answerAt(document, question, place) }))
    .filter((answer) => answer.state !== '');
  if (answers.length === 0) return 'not looked for';
  return answers.map(({ place, state }) => (place === '' ? stateLabel(state) : `${stateLabel(state)} at ${place}`)).join(', ');
}
