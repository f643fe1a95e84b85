/** The way of the verdict as a drawing: one step for each entry of the job, the chance upwards. */
import type { VerdictStep } from './contract';

export interface VerdictPath {
  path: string;
  dots: { x: number; y: number }[];
  width: number;
  height: number;
}

const WIDTH = 600;
const HEIGHT = 120;
const EDGE = 8;

export function verdictPath(line: readonly VerdictStep[]): VerdictPath {
  const step = (WIDTH - 2 * EDGE) / Math.max(line.length - 1, 1);
  const dots = line.map((one, index) => ({ x: EDGE + index * step, y: EDGE + (1 - one.joint_failed) * (HEIGHT - 2 * EDGE) }));
  const path = dots.map(({ x, y }, index) => (index === 0 ? `M${x.toFixed(1)} ${y.toFixed(1)}` : `H${x.toFixed(1)}V${y.toFixed(1)}`)).join('');
  return { path, dots, width: WIDTH, height: HEIGHT };
}
