import { describe, expect, it } from 'vitest';
import { applyEdits, type Table, valueAt } from './document';
import { originText, proposalEdits, proposalState } from './proposals';
import { readingPath, valueEdits } from './readings';

const job: Table = { format: 1, engine: { engine: { cylinders: 4 } } };
const weak = {
  sign: 'starter_current',
  where: '3',
  state: 'weak',
  text: 'starter’s pull on cylinder 3: weak',
  why: '80 % of the stronger half',
  value: '79 %',
  leak: { area: '0.90 mm2', low: '0.60 mm2', high: '1.30 mm2' },
};
const hot = { sign: 'runs_hot', where: '', state: 'seen', text: 'runs hot', why: '121 °C at 12:00 min', value: '' };

describe('what a recording proposes', () => {
  it('enters one cylinder’s reading with the leak that fits and where it comes from', () => {
    expect(proposalState(weak, job, [])).toBe('open');
    const after = applyEdits(job, proposalEdits(weak, job, [], 'recording cranking.wav'));
    expect(valueAt(after, readingPath('starter_current', 'values'))).toEqual(['', '', '79 %', '']);
    expect(valueAt(after, readingPath('starter_current', 'leaks'))).toEqual([{}, {}, weak.leak, {}]);
    expect(valueAt(after, readingPath('starter_current', 'tool'))).toBe('recording cranking.wav');
    expect(proposalState(weak, after, [])).toBe('same');
    expect(proposalState({ ...weak, value: '60 %' }, after, [])).toBe('other');
  });

  it('a value typed over takes the leak away', () => {
    const entered = applyEdits(job, proposalEdits(weak, job, [], ''));
    const after = applyEdits(entered, valueEdits(entered, 'starter_current', 3, '95', '%'));
    expect(valueAt(after, readingPath('starter_current', 'leaks', 2))).toEqual({});
    const other = applyEdits(entered, valueEdits(entered, 'starter_current', 1, '95', '%'));
    expect(valueAt(other, readingPath('starter_current', 'leaks', 2))).toEqual(weak.leak);
  });

  it('enters a sign with its origin', () => {
    const after = applyEdits(job, proposalEdits(hot, job, [], 'recording log.csv'));
    expect(valueAt(after, ['signs', 'runs_hot'])).toEqual({ state: 'seen', note: 'recording log.csv' });
    expect(proposalState(hot, after, [])).toBe('same');
    expect(proposalState({ ...hot, state: 'absent' }, after, [])).toBe('other');
  });

  it('says which file it was', () => {
    expect(originText({ name: 'a.wav', sha256: '0123456789abcdef0123' })).toBe('recording a.wav, SHA-256 0123456789abcdef');
  });
});
