/** What a recording proposes, put into the job when somebody says so: signs, and readings of a cylinder with the leak that fits. */
import type { Question } from './contract';
import { type Edit, isTable, type Json, type Table, valueAt } from './document';
import { splitMeasure } from './number_text';
import { answerAt, signPath } from './questions';
import { cylindersOf, readingPath, valueEdits, valuesOf } from './readings';
import type { Proposal } from './recording';

export type ProposalState = 'open' /** the job says nothing about it */ | 'same' | 'other' /** the job says something else */;

const questionOf = (proposal: Proposal, questions: readonly Question[]): Pick<Question, 'name' | 'places'> =>
  questions.find((question) => question.name === proposal.sign) ?? { name: proposal.sign, places: [] };

export function isReadingProposal(proposal: Proposal): boolean {
  return proposal.sign === 'starter_current' && (proposal.value ?? '') !== '';
}

/** What the job says at present; "" for nothing. */
export function presentOf(proposal: Proposal, document: Table, questions: readonly Question[]): string {
  if (isReadingProposal(proposal)) return valuesOf(document, 'starter_current')[Number(proposal.where) - 1] ?? '';
  return answerAt(document, questionOf(proposal, questions), proposal.where);
}

export function proposalState(proposal: Proposal, document: Table, questions: readonly Question[]): ProposalState {
  const present = presentOf(proposal, document, questions).replace(/\s+/g, ' ').trim();
  if (present === '') return 'open';
  return present === (isReadingProposal(proposal) ? proposal.value : proposal.state) ? 'same' : 'other';
}

function leaksOf(document: Table): Json[] {
  const list = valueAt(document, readingPath('starter_current', 'leaks'));
  return Array.from({ length: cylindersOf(document) }, (_, index) => {
    const leak = Array.isArray(list) ? list[index] : undefined;
    return isTable(leak) ? leak : {};
  });
}

function readingEdits(proposal: Proposal, document: Table, from: string): Edit[] {
  const cylinder = Number(proposal.where);
  const { number, unit } = splitMeasure(proposal.value ?? '');
  const leaks = leaksOf(document);
  leaks[cylinder - 1] = proposal.leak ? { ...proposal.leak } : {};
  return [
    ...valueEdits(document, 'starter_current', cylinder, number, unit),
    { path: readingPath('starter_current', 'leaks'), value: leaks },
    { path: readingPath('starter_current', 'tool'), value: from },
  ];
}

/** Edits that enter it. @param from where it comes from: the file's name and digest, kept beside what is entered */
export function proposalEdits(proposal: Proposal, document: Table, questions: readonly Question[], from: string): Edit[] {
  if (isReadingProposal(proposal)) return readingEdits(proposal, document, from);
  return [{ path: signPath(questionOf(proposal, questions), proposal.where), value: { state: proposal.state, note: from } }];
}

/** Says later whether a file is the one that was used: its name and the first letters of its SHA-256. */
export function originText(file: { name: string; sha256: string }): string {
  return `recording ${file.name}, SHA-256 ${file.sha256.slice(0, 16)}`;
}
