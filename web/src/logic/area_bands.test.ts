import { describe, expect, it } from 'vitest';
import { areaScale } from './area_bands';

describe('areas with their bands', () => {
  it('lie on a logarithmic scale that reaches to the next decade above the largest', () => {
    const scale = areaScale({ cylinders: [{ cylinder: 1, leak_area_mm2: 0, low_mm2: 0, high_mm2: 0.1 }, { cylinder: 2, leak_area_mm2: 1, low_mm2: 0.7, high_mm2: 1.6 }] });
    expect(scale?.ticks.map((tick) => tick.text)).toEqual(['0.01', '0.1', '1', '10']);
    expect(scale?.marks[0]).toMatchObject({ area: 0, isOpenBelow: true });
    expect(scale?.marks[0]?.high).toBeCloseTo(1 / 3, 12);
    expect(scale?.marks[1]?.area).toBeCloseTo(2 / 3, 12);
  });

  it('are open where the test sets no limit, and leave out what was not taken', () => {
    const scale = areaScale({ cylinders: [{ cylinder: 1, leak_area_mm2: 4, low_mm2: 2, high_mm2: null }, { cylinder: 2, status: 'not taken' }] });
    expect(scale?.marks).toHaveLength(1);
    expect(scale?.marks[0]).toMatchObject({ high: 1, isOpenAbove: true });
    expect(areaScale({ cylinders: [{ cylinder: 1, status: 'not taken' }] })).toBeUndefined();
  });

  it('tie a pair together', () => {
    const scale = areaScale({ cylinders: [2, 3].map((cylinder) => ({ cylinder, leak_area_mm2: 1, low_mm2: 0.5, high_mm2: 2 })), pairs: [{ bridge: '2-3', text: '' }] });
    expect(scale?.pairs).toEqual([{ from: 2, to: 3 }]);
    expect(scale?.marks.every((mark) => mark.isSuspect)).toBe(true);
  });
});
