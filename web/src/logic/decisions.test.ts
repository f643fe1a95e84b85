import { describe, expect, it } from 'vitest';
import { dayText, decisionDropped, decisionEdits, decisionsOf } from './decisions';
import { applyEdits, type Table } from './document';

describe('a decision', () => {
  const lift = { what: 'lift the head', why: 'gas passes', when: '2026-11-23' };

  it('is put in, changed in place and taken back', () => {
    const noted = applyEdits({}, decisionEdits(lift));
    expect(decisionsOf(noted)).toEqual([lift]);
    const changed = applyEdits(noted, decisionEdits({ ...lift, why: 'two cylinders' }));
    expect(decisionsOf(changed)).toEqual([{ ...lift, why: 'two cylinders' }]);
    expect(decisionsOf(applyEdits(changed, decisionDropped('lift the head')))).toEqual([]);
  });

  it('reads what is there, whole or not', () => {
    expect(decisionsOf({ decision: [{ what: 'a' }] } as Table)).toEqual([{ what: 'a', why: '', when: '' }]);
    expect(decisionsOf({})).toEqual([]);
  });

  it('is dated by the day of the reader', () => {
    expect(dayText(new Date(2026, 0, 5, 23, 59))).toBe('2026-01-05');
  });
});
