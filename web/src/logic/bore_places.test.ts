import { describe, expect, it } from 'vitest';
import { borePlan } from './bore_places';

const engine = (cylinders: number, bore: unknown[] = []) => ({ engine: { engine: { cylinders }, bore } }) as never;

describe('the cylinders on the plan', () => {
  it('stand in a row where the engine has no plan', () => {
    const { bores, width, height } = borePlan(engine(4));
    expect(bores.map(({ number }) => number)).toEqual([1, 2, 3, 4]);
    expect(new Set(bores.map(({ y }) => y)).size).toBe(1);
    expect(width).toBeGreaterThan(height);
  });

  it('stand as the engine places them, one head below the other', () => {
    const bore = [1, 3, 2, 4].map((number, index) => ({ number, at: [65 + 100 * (index % 2), 85], head: index < 2 ? 1 : 2 }));
    const { bores } = borePlan(engine(4, bore));
    const at = (number: number) => bores.find((one) => one.number === number)!;
    expect(at(3).x).toBeGreaterThan(at(1).x);
    expect(at(2).y).toBeGreaterThan(at(1).y);
    expect(at(1).x).toBe(at(2).x);
  });

  it('do without a plan that lacks one of them', () => {
    expect(borePlan(engine(3, [{ number: 1, at: [0, 0] }])).bores).toHaveLength(3);
    expect(borePlan({}).bores).toEqual([]);
  });
});
