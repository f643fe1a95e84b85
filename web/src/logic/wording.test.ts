import { describe, expect, it } from 'vitest';
import { chanceText, minutesText, netText, placeText, plainNote, rangeText, takesText } from './wording';

describe('words for figures', () => {
  it('never claim certainty', () => {
    expect(chanceText(0)).toBe('<0.01');
    expect(chanceText(1)).toBe('>0.99');
    expect(chanceText(0.874)).toBe('0.87');
    expect(chanceText(Number.NaN)).toBe('not known');
    expect(rangeText(0.78, 0.93)).toBe('0.78 – 0.93');
  });

  it('give times no finer than they are known', () => {
    expect(minutesText(20)).toBe('20 min');
    expect(minutesText(125)).toBe('2 h 5 min');
    expect(minutesText(2219)).toBe('37 h');
    expect(takesText(0)).toBe('no time to speak of');
    expect(takesText(3)).toBe('3 min');
    expect(netText(61)).toBe('saves 61 min');
    expect(netText(-5)).toBe('costs 5 min more than it saves');
  });

  it('name places', () => {
    expect(placeText('bridge', '2-3')).toBe('between 2 and 3');
    expect(placeText('cylinder', '3')).toBe('cylinder 3');
    expect(placeText('head', '1')).toBe('head 1');
    expect(placeText('engine', '')).toBe('');
  });

  it('says names of the engine file as words', () => {
    expect(plainNote('[block]: cast_iron stands for 110 GPa.')).toBe('Block: cast iron stands for 110 GPa.');
    expect(plainNote('limits.compression_ratio_most: invented')).toBe('Limits compression ratio most: invented');
    expect(plainNote('125.9 kN/mm from size and grip')).toBe('125.9 kN/mm from size and grip');
  });
});
