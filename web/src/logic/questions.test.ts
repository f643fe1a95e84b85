import { describe, expect, it } from 'vitest';
import type { Question } from './contract';
import { applyEdit, type Table } from './document';
import { answerAt, answerEdit, answerText, choicesOf, passes, progressOf, stepOf } from './questions';

const question = (more: Partial<Question> = {}): Question => ({
  name: 'milky_oil',
  text: 'milky oil on the dipstick',
  question: 'Is the oil on the dipstick milky?',
  kind: 'symptom',
  scope: 'engine',
  places: [],
  states: ['absent', 'seen'],
  minutes: 2,
  needs: '',
  cannot_see: '',
  cautions: [],
  ...more,
});
const perCylinder = question({ name: 'plug_washed', kind: 'test', scope: 'cylinder', places: ['1', '2'], question: 'Is the plug washed?' });

describe('a question', () => {
  it('offers seen, absent, not looked for; a test also done but void', () => {
    expect(choicesOf(question()).map((choice) => choice.label)).toEqual(['Seen', 'Absent', 'Not looked for']);
    expect(choicesOf(perCylinder).map((choice) => choice.state)).toEqual(['seen', 'absent', '', 'void']);
  });

  it('offers its own grades, the telling one first', () => {
    expect(choicesOf(question({ states: ['none', 'partial', 'full'] })).map((choice) => choice.label)).toEqual(['Full', 'Partial', 'None', 'Not looked for']);
  });

  it('takes an answer for the engine or for a place, and takes it back', () => {
    let job: Table = {};
    job = applyEdit(job, answerEdit(job, question(), '', 'seen'));
    job = applyEdit(job, answerEdit(job, perCylinder, '2', 'absent'));
    expect(job).toEqual({ signs: { milky_oil: 'seen', plug_washed: { '2': 'absent' } } });
    job = applyEdit(job, answerEdit(job, perCylinder, '2', ''));
    expect(job).toEqual({ signs: { milky_oil: 'seen' } });
  });

  it('keeps the note of an answer that has one', () => {
    const job: Table = { signs: { milky_oil: { state: 'seen', note: 'after a cold night' } } };
    expect(answerAt(job, question(), '')).toBe('seen');
    expect(applyEdit(job, answerEdit(job, question(), '', 'absent'))).toEqual({ signs: { milky_oil: { state: 'absent', note: 'after a cold night' } } });
  });

  it('is part done while a place is open', () => {
    const job: Table = { signs: { plug_washed: { '2': 'seen' } } };
    expect(progressOf(job, perCylinder)).toBe('part');
    expect(answerText(job, perCylinder)).toBe('seen at 2');
    expect(answerText({}, perCylinder)).toBe('not looked for');
  });

  it('is found by its words in any order and left out when done', () => {
    expect(passes(question(), {}, { words: 'milky dip', onlyOpen: false })).toBe(true);
    expect(passes(question(), {}, { words: 'thermostat', onlyOpen: false })).toBe(false);
    expect(passes(question(), { signs: { milky_oil: 'seen' } }, { words: '', onlyOpen: true })).toBe(false);
  });

  it('stands on the screen of its kind', () => {
    expect(stepOf(question())).toBe('complaint');
    expect(stepOf(perCylinder)).toBe('checks');
    expect(stepOf(question({ name: 'head_face', kind: 'reading' }))).toBe('faces');
  });
});
