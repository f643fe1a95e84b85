import { describe, expect, it } from 'vitest';
import { clampRows, tightenRows } from './compare';
import type { ClampAnswer, TightenAnswer } from './operation_answers';

const clamp = (load: number, margin: number | null): ClampAnswer => ({ fire_rings: [{ bore: 2, line_load_min_N_per_mm: load, margin }], passages: [{ number: 1, pressure_min_MPa: 3 }, { number: 2, pressure_min_MPa: 2.5 }], open_area_fraction: 0.01 }) as unknown as ClampAnswer;
const tighten = (forces: number[]): TightenAnswer => ({ passes: [{ bolts: forces.map((force, index) => ({ number: index + 1, force_N: force })), min_N: Math.min(...forces), max_N: Math.max(...forces), mean_N: 0, std_N: 300 }] });

describe('two alternatives side by side', () => {
  it('show each ring in both, and what changed with its sign', () => {
    const rows = clampRows(clamp(75, 1.25), clamp(90, 1.5));
    expect(rows[0]).toEqual({ name: 'Fire ring 2, least line load, N/mm', one: '75', other: '90', change: '+15' });
    expect(rows[1]?.change).toBe('+0.25');
    expect(rows[2]).toMatchObject({ one: '2.50', other: '2.50', change: '' });
  });

  it('leave a dash where one has no figure', () => {
    expect(clampRows(clamp(75, null), clamp(75, 1))[1]).toMatchObject({ one: '–', other: '1.00', change: '' });
  });

  it('show every bolt after the last pass', () => {
    const rows = tightenRows(tighten([60000, 59000]), tighten([60000, 60500]));
    expect(rows.map((row) => row.name).slice(-2)).toEqual(['Bolt 1, kN', 'Bolt 2, kN']);
    expect(rows.at(-1)).toMatchObject({ one: '59.0', other: '60.5', change: '+1.5' });
  });
});
