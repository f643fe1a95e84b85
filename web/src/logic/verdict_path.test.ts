import { describe, expect, it } from 'vitest';
import { verdictPath } from './verdict_path';

const step = (joint_failed: number) => ({ entry: '', joint_failed, leading: '', leading_probability: 0 });

describe('the way of the verdict', () => {
  it('rises with the chance and goes from edge to edge', () => {
    const { dots, path, width, height } = verdictPath([step(0), step(0.5), step(1)]);
    expect(dots.map(({ x }) => x)).toEqual([8, width / 2, width - 8]);
    expect(dots.map(({ y }) => y)).toEqual([height - 8, height / 2, 8]);
    expect(path.startsWith('M8.0 112.0H300.0V60.0')).toBe(true);
  });

  it('can be drawn with a single entry', () => {
    expect(verdictPath([step(0.3)]).path).toMatch(/^M8\.0 \d/);
  });
});
