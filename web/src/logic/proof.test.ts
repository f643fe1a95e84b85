import { describe, expect, it } from 'vitest';
import type { Edit, Table } from './document';
import { applyEdit } from './document';
import { acceptedText, listEdits, type ProofCheck, proofEdits, proofView, repairList, signEdits, signState, verdictText } from './proof';
import { valueEdits, valuesOf } from './readings';

const put = (document: Table, edits: Edit[]): Table => edits.reduce(applyEdit, document);
const job: Table = { engine: { engine: { cylinders: 2 } }, reading: [{ test: 'compression', values: ['9 bar', '9 bar'] }] };

function check(change: Partial<ProofCheck>): ProofCheck {
  return { check: 'c', expected: 1, accept_low: null, accept_high: null, unit: '', expected_text: 'absent', test: 't', where: '', reading: '', value: null, verdict: '', why: '', ...change };
}

describe('readings after the repair', () => {
  it('never show what was read before it', () => {
    expect(valuesOf(proofView(job), 'compression')).toEqual(['', '']);
  });
  it('are kept beside those before it', () => {
    const next = put(job, proofEdits(valueEdits(proofView(job), 'compression', 2, '12.5', 'bar')));
    expect(next['reading']).toEqual(job['reading']);
    expect(next['proof_reading']).toEqual([{ test: 'compression', values: ['', '12.5 bar'] }]);
    expect(valuesOf(proofView(next), 'compression')).toEqual(['', '12.5 bar']);
  });
});

describe('bands and verdicts', () => {
  it('say the limits in the unit of the reader', () => {
    expect(acceptedText(check({ unit: 'bar', accept_low: 11, accept_high: 13.5 }), 'bar')).toBe('11.0 bar to 13.5 bar');
    expect(acceptedText(check({ unit: '%', accept_low: 0, accept_high: 12 }), 'bar')).toBe('at most 12 %');
    expect(acceptedText(check({ unit: '%', accept_low: 85, accept_high: 100 }), 'bar')).toBe('at least 85 %');
    expect(acceptedText(undefined, 'bar')).toBe('');
  });
  it('need no colour', () => {
    expect(verdictText(check({ verdict: 'below', reading: '9 bar' }))).toBe('BELOW');
    expect(verdictText(check({}))).toBe('not taken');
  });
});

describe('what was done', () => {
  it('is a list of words that come and go', () => {
    const done = put({}, listEdits({}, 'done', 'bled', true));
    expect(repairList(done, 'done')).toEqual(['bled']);
    expect(put(done, listEdits(done, 'done', 'bled', false))).toEqual({});
  });
  it('signs keep the words of their grades', () => {
    const colour = check({ test: 'colour_test' });
    const gone = put({}, signEdits(colour, 'absent', ['none', 'partial', 'full']));
    expect(gone).toEqual({ proof_signs: { colour_test: 'none' } });
    expect(signState(gone, colour)).toBe('absent');
    expect(signState(put(gone, signEdits(colour, 'seen', ['none', 'partial', 'full'])), colour)).toBe('seen');
    expect(put(gone, signEdits(colour, '', []))).toEqual({});
  });
});
