import { describe, expect, it } from 'vitest';
import { readDrawing } from './engine_drawing';
import { boreFound, handleNear, moved, notYet, noTaps, onThePlan, readTaps, tapped, tapsDocument, type TapsAnswer } from './gasket_taps';

describe('taps on a photograph', () => {
  it('two taps make a distance', () => {
    let taps = tapped(noTaps(), 'distance', [10, 20]);
    taps = tapped(taps, 'distance', [110, 20]);
    expect(taps.distances).toEqual([{ from: [10, 20], to: [110, 20], distance: '' }]);
    expect(notYet(taps)).toContain('scale');
    taps.distances[0]!.distance = '86,5';
    expect(notYet(taps)).toBe('');
    expect(tapsDocument(taps, 'Marlow')['known_distance']).toEqual([{ from: [10, 20], to: [110, 20], distance: '86.5 mm' }]);
  });

  it('numbers circles by their kind and fills a gap', () => {
    let taps = tapped(tapped(tapped(noTaps(), 'bore', [1, 1]), 'bolt', [2, 2]), 'bore', [3, 3]);
    expect(taps.circles.map((circle) => circle.number)).toEqual([1, 1, 2]);
    taps = tapped({ ...taps, circles: taps.circles.slice(1) }, 'bore', [4, 4]);
    expect(taps.circles.at(-1)?.number).toBe(1);
  });

  it('four known points take the place of distances', () => {
    let taps = noTaps();
    for (const [x, y] of [[0, 0], [400, 0], [400, 160], [0, 160]] as const) {
      taps = tapped(taps, 'point', [x, y]);
      taps.points.at(-1)!.x = String(x);
      taps.points.at(-1)!.y = String(y);
    }
    const document = tapsDocument(taps, '');
    expect(document['known_point']).toHaveLength(4);
    expect(document['known_distance']).toBeUndefined();
  });

  it('takes hold of the nearest and moves it', () => {
    const taps = tapped(tapped(noTaps(), 'bore', [100, 100]), 'bolt', [110, 100]);
    const handle = handleNear(taps, [108, 101], 12);
    expect(handle).toEqual({ of: 'circle', index: 1 });
    expect(moved(taps, handle!, [120, 90]).circles[1]!.tap).toEqual([120, 90]);
    expect(handleNear(taps, [300, 300], 12)).toBeUndefined();
  });

  it('puts what was found on the plan', () => {
    const circle = { status: 'found', at_uncertainty_mm: 0.1, uncertainty_mm: 0.1, centre_px: [0, 0] as [number, number], rim_px: [] };
    const answer = {
      circles: [
        { ...circle, kind: 'bore', number: 1, at: [60.04, 85] as [number, number], diameter_mm: 82.04 },
        { ...circle, kind: 'coolant', number: 1, at: [20, 20] as [number, number], diameter_mm: 9 },
        { ...circle, kind: 'bolt', number: 1, at: null, diameter_mm: null },
      ],
      outline: [],
    } as unknown as TapsAnswer;
    const before = readDrawing({ bore: [{ number: 2, at: [150, 85] }], bolts: { at: [[1, 2]] } });
    const after = onThePlan(before, answer);
    expect(after.bores.map((bore) => [bore.number, bore.x])).toEqual([['1', '60'], ['2', '150']]);
    expect(after.bolts).toEqual(before.bolts);
    expect(after.passages[0]).toMatchObject({ kind: 'coolant', diameter: '9' });
    expect(boreFound(answer)).toBe('82 mm');
  });

  it('what a browser kept and cannot be read counts as none', () => {
    expect(readTaps(null)).toEqual(noTaps());
    expect(readTaps('{"circles": 3}')).toEqual(noTaps());
    const taps = tapped(noTaps(), 'bore', [1, 2]);
    expect(readTaps(JSON.stringify(taps))).toEqual(taps);
  });
});
