/** Leak areas of the cylinders with their bands, on one logarithmic scale: where each mark lies. */
import type { CylinderResult, ReadingResult } from './contract';

const LEAST_MM2 = 0.01;
const DECADE_STEPS = [0.01, 0.1, 1, 10, 100, 1000];

export interface BandMark {
  cylinder: number;
  area: number; /** shares of the scale's width, 0 to 1 */
  low: number;
  high: number;
  isOpenAbove: boolean; /** the test sets no upper limit */
  isOpenBelow: boolean; /** as little as nothing */
  isSuspect: boolean;
}

export interface AreaScale {
  ticks: { share: number; text: string }[];
  marks: BandMark[];
  pairs: { from: number; to: number }[]; /** cylinders that the readings tie together */
}

const isMeasured = (row: CylinderResult): boolean => row.leak_area_mm2 != null && row.low_mm2 != null;

/** Undefined when there is nothing to draw. */
export function areaScale(result: ReadingResult): AreaScale | undefined {
  const rows = result.cylinders.filter(isMeasured);
  if (rows.length === 0) return undefined;
  const largest = Math.max(...rows.map((row) => Math.max(row.high_mm2 ?? 0, row.leak_area_mm2 ?? 0)), 0.1);
  const top = DECADE_STEPS.find((step) => step >= largest) ?? largest;
  const share = (area: number): number => Math.log(Math.max(area, LEAST_MM2) / LEAST_MM2) / Math.log(top / LEAST_MM2);
  const tied = new Set((result.pairs ?? []).flatMap((pair) => pair.bridge.split('-').map(Number)));
  return {
    ticks: DECADE_STEPS.filter((step) => step <= top).map((step) => ({ share: share(step), text: String(step) })),
    marks: rows.map((row) => ({
      cylinder: row.cylinder,
      area: share(row.leak_area_mm2 ?? 0),
      low: share(row.low_mm2 ?? 0),
      high: row.high_mm2 == null ? 1 : share(row.high_mm2),
      isOpenAbove: row.high_mm2 == null,
      isOpenBelow: !((row.low_mm2 ?? 0) > LEAST_MM2),
      isSuspect: tied.has(row.cylinder) || row.suspect === true,
    })),
    pairs: (result.pairs ?? []).map((pair) => pair.bridge.split('-').map(Number)).flatMap(([from, to]) => (from && to ? [{ from, to }] : [])),
  };
}
