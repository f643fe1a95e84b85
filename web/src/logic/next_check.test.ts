import { describe, expect, it } from 'vitest';
import type { CauseRepair } from './contract';
import { adviceText, explanationText, outcomeRows } from './next_check';

describe('a check told in advance', () => {
  it('has its likeliest outcome first, and none that cannot come', () => {
    const rows = outcomeRows([
      { state: 'absent', probability: 0.3, joint_failed: 0.1, then: '' },
      { state: 'seen', probability: 0.7, joint_failed: 0.95, then: 'open the joint' },
      { state: 'partial', probability: 0, joint_failed: 0, then: '' },
    ]);
    expect(rows).toEqual([
      { state: 'Seen', likely: '0.70', joint: '0.95', then: 'open the joint' },
      { state: 'Absent', likely: '0.30', joint: '0.10', then: 'nothing yet' },
    ]);
  });
});

describe('what the figures say', () => {
  const option = (advised: boolean, advice?: string): CauseRepair => ({ repair: 'o', text: '', chance: 1, put_right_minutes: 1, left_minutes: 1, advised, ...(advice ? { advice } : {}) });

  it('is to do it, to leave it, or to check first', () => {
    expect([option(true), option(false, 'not yet'), option(false, 'check first')].map(adviceText)).toEqual(['do it', 'leave it for now', 'check first: a check could turn it']);
  });

  it('about a few causes together is a number in words', () => {
    expect(explanationText(38.2)).toBe('What was found is 38 times as likely with all of them there as without.');
    expect(explanationText(5e6)).toContain('more than a thousand');
    expect([explanationText(undefined), explanationText(0.5)]).toEqual(['', '']);
  });
});
