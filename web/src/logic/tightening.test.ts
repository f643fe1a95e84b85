import { describe, expect, it } from 'vitest';
import type { TightenAnswer } from './operation_answers';
import { boltCount, evennessText, forceTable, makersOrder, orderDoubt, passesDoubt, readOrder, tightenOptions } from './tightening';

const answer: TightenAnswer = {
  passes: [
    { bolts: [{ number: 2, force_N: 40_000 }, { number: 1, force_N: 30_000 }], min_N: 30_000, max_N: 40_000, mean_N: 35_000, std_N: 5000 },
    { bolts: [{ number: 1, force_N: 44_000 }, { number: 2, force_N: 45_000 }], min_N: 44_000, max_N: 45_000, mean_N: 44_500, std_N: 500 },
  ],
};

describe('an order', () => {
  it('is read with anything between the numbers', () => {
    expect(readOrder('3, 8;7-2  10')).toEqual([3, 8, 7, 2, 10]);
  });

  it('is doubted in words until every bolt stands in it once', () => {
    expect(orderDoubt('', 4)).toBe('');
    expect(orderDoubt('2 1 4 3', 4)).toBe('');
    expect(orderDoubt('2 1', 4)).toBe('Not in the order yet: 3, 4.');
    expect(orderDoubt('2 2 1 3', 4)).toBe('Bolt 2 stands twice.');
    expect(orderDoubt('2 5 1 3', 4)).toContain('no bolt 5');
    expect(orderDoubt('middle first', 4)).toContain('no order');
    expect([passesDoubt('3'), passesDoubt(''), passesDoubt('0') === '', passesDoubt('2.5') === '']).toEqual(['', '', false, false]);
  });

  it('of the maker and the number of bolts come from the engine file', () => {
    const job = { engine: { bolts: { at: [[0, 0], [1, 0], [2, 0]] }, tightening: { order: [2, 1, 3] } } };
    expect([makersOrder(job), boltCount(job)]).toEqual([[2, 1, 3], 3]);
    expect(boltCount({})).toBe(0);
  });

  it('is asked only when one was typed', () => {
    expect(tightenOptions({ order: ' ', passes: '3', untightened: 'loose' })).toEqual({ passes: '3', untightened: 'loose' });
    expect(tightenOptions({ order: '2, 1', passes: '', untightened: 'snug' })).toEqual({ order: '2,1', untightened: 'snug' });
  });
});

describe('forces after each pass', () => {
  it('stand by bolt number, with least, greatest, mean and scatter below', () => {
    const table = forceTable(answer);
    expect(table.bolts).toEqual([{ number: 1, forces: ['30.0', '44.0'] }, { number: 2, forces: ['40.0', '45.0'] }]);
    expect(table.sums.map((row) => row.figures[1])).toEqual(['44.0', '45.0', '44.5', '0.5']);
  });

  it('are summed up in a sentence', () => {
    expect(evennessText(answer)).toBe('After pass 2 the bolts carry 44.0 to 45.0 kN, scattered by 0.5 kN (1.1 % of the mean).');
    expect(evennessText({ passes: [] })).toBe('');
  });
});
