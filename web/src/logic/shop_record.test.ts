import { describe, expect, it } from 'vitest';
import { movedMost, outcomeText, rangedText, type RecordedJob, shareText, type Strength, strengthText } from './shop_record';

const strength = (over: Partial<Strength>): Strength => ({ kind: 'chance', cause: 'thermostat', sign: '', grade: 1, shipped: 0.1, hits: 1, cases: 10, learnt: 0.2, low: 0, high: 1, ...over });
const job = (over: Partial<RecordedJob>): RecordedJob => ({
  source: '1', number: '', title: '', verified: 'seen with the head off', counts: true, why_not: '', joint_failed: 0.5, leading: '', leading_chance: 0, joint_found: true, found: [], rank: 0, check_minutes: 0, saved_minutes: 0, ...over,
});

describe('the shop’s record', () => {
  it('shows no figure without its range', () => {
    expect(rangedText({ value: 0.123, low: 0.05, high: 0.2 }, 2)).toBe('0.12 (0.05 to 0.20)');
    expect(rangedText({ value: 0.123, low: null, high: null }, 2)).toBe('0.12 (no range: too few jobs)');
    expect(rangedText({ value: null, low: null, high: null }, 2)).toBe('not known');
    expect(shareText({ hits: 7, cases: 9, share: 0.78, low: 0.45, high: 0.94 })).toBe('7 of 9 (45 to 94 %)');
    expect(shareText({ hits: 0, cases: 0, share: null, low: 0, high: 1 })).toBe('no such job');
  });

  it('says what a strength is', () => {
    expect(strengthText(strength({}))).toBe('thermostat: how often there');
    expect(strengthText(strength({ kind: 'strength', sign: 'runs_hot', grade: 2 }))).toBe('runs hot (grade 2), with thermostat alone');
    expect(strengthText(strength({ kind: 'false_positive', sign: 'bubbles' }))).toBe('bubbles, with nothing behind it');
  });

  it('puts those that moved most first', () => {
    const far = strength({ learnt: 0.9 });
    expect(movedMost([strength({}), far, strength({ cases: 1 })], 2)[0]).toBe(far);
  });

  it('says why a job does not count', () => {
    expect(outcomeText(job({ verified: '' }))).toBe('open');
    expect(outcomeText(job({}))).toBe('nothing wrong');
    expect(outcomeText(job({ found: ['a breach'], counts: false, why_not: 'not verified' }))).toBe('a breach (does not count: not verified)');
  });
});
