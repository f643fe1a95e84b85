import { describe, expect, it } from 'vitest';
import { balanceText, clampDocument, type ClampFigures, clampOptions, contributionTexts, facesWithPoints, fireRingRows, passageRows, sealSentence, sideText, weakestText } from './clamping';
import type { Table } from './document';
import type { ClampAnswer, FireRing } from './operation_answers';

const figures: ClampFigures = { preload: '', gas: '80 bar', fired: [], withFaces: true, withCut: false, pressureUnit: 'bar', head: '', heat: '' };
const job: Table = { cut: { head: '0.15 mm' }, face: [{ part: 'head', table: 'x' }, { part: 'block', table: 'x' }, { part: 'head', table: 'y', void: 'plate was dirty' }] };
const ring = (bore: number, least: number, margin: number | null): FireRing => ({ bore, line_load_min_N_per_mm: least, line_load_mean_N_per_mm: 2 * least, line_load_max_N_per_mm: 3 * least, angle_of_min_deg: 90, force_N: 1000, margin });
const answer = (rings: FireRing[], status = 'converged'): ClampAnswer => ({ status, steps: 1, reaction_N: 1, applied_N: 1, contact_area_mm2: 1, open_area_fraction: 0, deflection_max_mm: 0, fire_rings: rings, passages: [{ number: 1, pressure_min_MPa: 2 }, { number: 2, pressure_min_MPa: 0.5 }], bolts: [] });

describe('what is asked of the clamped joint', () => {
  it('leaves to the engine file what is blank', () => {
    expect(clampOptions(figures)).toEqual({});
    expect(clampOptions({ ...figures, preload: '45', gas: '1200', pressureUnit: 'psi', fired: [2, 3] })).toEqual({ preload: '45 kN', gas: ['2=1200 psi', '3=1200 psi'] });
    expect(clampOptions({ ...figures, gas: '', fired: [2] })).toEqual({});
  });

  it('is the job with its faces, without them, or without the ones that are cut', () => {
    expect(facesWithPoints(job)).toEqual(['head', 'block']);
    expect(clampDocument(job, figures)).toEqual(job);
    expect(clampDocument(job, { ...figures, withFaces: false })).toEqual({ cut: job['cut'] });
    expect(clampDocument(job, { ...figures, withCut: true })['face']).toEqual([{ part: 'block', table: 'x' }]);
  });
});

describe('the clamped joint', () => {
  it('marks the weakest ring and those that get too little', () => {
    const rows = fireRingRows([ring(1, 90, 1.5), ring(2, 50, 0.8)]);
    expect(rows.map((row) => [row.isWeakest, row.isShort, row.margin])).toEqual([[false, false, '1.50'], [true, true, '0.80']]);
    expect(sealSentence(answer([ring(1, 90, 1.5), ring(2, 50, 0.8)]))).toBe('fire ring 2 gets less than it needs under these loads');
    expect(sealSentence(answer([ring(1, 90, 1.5), ring(2, 80, 1.2)]))).toContain('ring 2 has the least to spare, 1.20 times');
  });

  it('gives no verdict without a need in the engine file, and none that did not converge', () => {
    expect(sealSentence(answer([ring(1, 90, null), ring(2, 80, null)]))).toContain('no verdict');
    expect(fireRingRows([ring(1, 90, null), ring(2, 80, null)])[1]?.isWeakest).toBe(true);
    expect(sealSentence(answer([], 'floats'))).toContain('floats');
  });

  it('shows a dash for a figure that was not worked out', () => {
    const floating = { ...answer([ring(1, NaN, null)], 'floats'), reaction_N: null as unknown as number };
    expect(fireRingRows(floating.fire_rings)[0]?.least).toBe('–');
    expect(balanceText(floating)).toContain('carries – kN');
  });

  it('says where a ring is weakest in words', () => {
    expect([0, 90, 180, -90, 359].map(sideText)).toEqual(['towards the rear (0°)', 'towards the right (90°)', 'towards the front (180°)', 'towards the left (270°)', 'towards the rear (359°)']);
  });

  it('lists passages weakest first, and what the chance hangs on', () => {
    expect(passageRows(answer([])).map((row) => row.number)).toEqual([2, 1]);
    expect(weakestText({ bore: 2, share: 0.61 })).toBe('Fire ring 2: weakest in 61 % of the trials');
    expect(contributionTexts({ chance: 1, low: 1, high: 1, weakest: [], samples: 1, seconds: 1, inputs: [{ input: 'tool_scatter', share: 0.4 }] })).toEqual(['Tool scatter: 40 % of the spread']);
  });
});
