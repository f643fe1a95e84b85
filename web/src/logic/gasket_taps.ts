/** What was tapped on the photograph of a gasket, and what the server makes of it. */
import { isTable, type Json, type Table } from './document';
import type { Drawing } from './engine_drawing';
import { joinMeasure, readNumber } from './number_text';

export type Pixel = [number, number];

export interface CircleTap {
  kind: string;
  number: number;
  tap: Pixel;
  /** Snapped to the edge in the picture; else the tap is the middle and `diameter` what was typed. */
  snap: boolean;
  diameter: string;
}

export interface DistanceTap {
  from: Pixel;
  to?: Pixel;
  distance: string;
}

export interface PointTap {
  tap: Pixel;
  x: string;
  y: string;
}

export interface Taps {
  seenFrom: 'above' | 'below';
  distances: DistanceTap[];
  points: PointTap[];
  axes: Pixel[];
  circles: CircleTap[];
  outline: Pixel[];
}

/** What a tap means at the moment. */
export const TAP_KINDS = ['bore', 'bolt', 'coolant', 'oil_pressure', 'oil_drain', 'pushrod', 'vent', 'distance', 'point', 'axes', 'outline'] as const;
export type TapKind = (typeof TAP_KINDS)[number];

export interface FoundCircle {
  number: number;
  kind: string;
  status: string;
  at: [number, number] | null;
  at_uncertainty_mm: number | null;
  diameter_mm: number | null;
  uncertainty_mm: number | null;
  centre_px: Pixel;
  rim_px: Pixel[];
}

export interface TapsAnswer {
  sentence: string;
  scale: { kind: string; mm_per_px_least: number; mm_per_px_most: number };
  homography_error: { value: number | null; band: number | null; unit: string; freedom: number };
  circles: FoundCircle[];
  outline: [number, number][];
  engine_toml: string;
  doubts: string[];
  notes: string[];
}

export function noTaps(): Taps {
  return { seenFrom: 'above', distances: [], points: [], axes: [], circles: [], outline: [] };
}

function nextFree(circles: readonly CircleTap[], kind: string): number {
  const taken = new Set(circles.filter((circle) => circle.kind === kind).map((circle) => circle.number));
  let number = 1;
  while (taken.has(number)) number += 1;
  return number;
}

/** The taps with one more, as what it is meant for. */
export function tapped(taps: Taps, kind: TapKind, at: Pixel): Taps {
  if (kind === 'distance') {
    const open = taps.distances.at(-1);
    if (open && !open.to) return { ...taps, distances: [...taps.distances.slice(0, -1), { ...open, to: at }] };
    return { ...taps, distances: [...taps.distances, { from: at, distance: '' }] };
  }
  if (kind === 'point') return { ...taps, points: [...taps.points, { tap: at, x: '', y: '' }] };
  if (kind === 'axes') return { ...taps, axes: taps.axes.length >= 2 ? [at] : [...taps.axes, at] };
  if (kind === 'outline') return { ...taps, outline: [...taps.outline, at] };
  return { ...taps, circles: [...taps.circles, { kind, number: nextFree(taps.circles, kind), tap: at, snap: true, diameter: '' }] };
}

/** A place among the taps that can be taken hold of. */
export type Handle =
  | { of: 'circle' | 'point' | 'outline' | 'axes'; index: number }
  | { of: 'from' | 'to'; index: number };

export function handles(taps: Taps): { handle: Handle; at: Pixel }[] {
  return [
    ...taps.circles.map((circle, index) => ({ handle: { of: 'circle', index } as Handle, at: circle.tap })),
    ...taps.points.map((point, index) => ({ handle: { of: 'point', index } as Handle, at: point.tap })),
    ...taps.outline.map((at, index) => ({ handle: { of: 'outline', index } as Handle, at })),
    ...taps.axes.map((at, index) => ({ handle: { of: 'axes', index } as Handle, at })),
    ...taps.distances.flatMap((distance, index) => [
      { handle: { of: 'from', index } as Handle, at: distance.from },
      ...(distance.to ? [{ handle: { of: 'to', index } as Handle, at: distance.to }] : []),
    ]),
  ];
}

/** The nearest handle within reach. */
export function handleNear(taps: Taps, at: Pixel, reach: number): Handle | undefined {
  let nearest: Handle | undefined;
  let least = reach;
  for (const one of handles(taps)) {
    const away = Math.hypot(one.at[0] - at[0], one.at[1] - at[1]);
    if (away <= least) {
      least = away;
      nearest = one.handle;
    }
  }
  return nearest;
}

function replaced<T>(list: readonly T[], index: number, change: (one: T) => T): T[] {
  return list.map((one, at) => (at === index ? change(one) : one));
}

export function moved(taps: Taps, handle: Handle, at: Pixel): Taps {
  const { index } = handle;
  switch (handle.of) {
    case 'circle':
      return { ...taps, circles: replaced(taps.circles, index, (circle) => ({ ...circle, tap: at })) };
    case 'point':
      return { ...taps, points: replaced(taps.points, index, (point) => ({ ...point, tap: at })) };
    case 'outline':
      return { ...taps, outline: replaced(taps.outline, index, () => at) };
    case 'axes':
      return { ...taps, axes: replaced(taps.axes, index, () => at) };
    case 'from':
      return { ...taps, distances: replaced(taps.distances, index, (distance) => ({ ...distance, from: at })) };
    case 'to':
      return { ...taps, distances: replaced(taps.distances, index, (distance) => ({ ...distance, to: at })) };
  }
}

const pixel = ([x, y]: Pixel): Json => [Math.round(x * 100) / 100, Math.round(y * 100) / 100];

function isMeasured(text: string): boolean {
  return text.trim() !== '';
}

/** Why nothing can be measured yet, in words; "" when the server can be asked. */
export function notYet(taps: Taps): string {
  const distances = taps.distances.filter((distance) => distance.to && isMeasured(distance.distance));
  const points = taps.points.filter((point) => isMeasured(point.x) && isMeasured(point.y));
  if (points.length >= 4) return '';
  if (taps.points.length > 0 && points.length < 4) return `A photograph at an angle needs four known points; ${points.length} so far have both places.`;
  if (distances.length > 0) return '';
  return 'First bring the picture to scale: tap the two ends of a known distance and type it.';
}

/** The taps as the operation reads them; what is not finished stays out. */
export function tapsDocument(taps: Taps, name: string): Table {
  const points = taps.points.flatMap((point): Json[] => {
    const x = readNumber(point.x);
    const y = readNumber(point.y);
    return x.kind === 'number' && y.kind === 'number' ? [{ tap: pixel(point.tap), at: [x.value, y.value] }] : [];
  });
  const distances = taps.distances.flatMap((one): Json[] => (one.to && isMeasured(one.distance) ? [{ from: pixel(one.from), to: pixel(one.to), distance: joinMeasure(one.distance.replace(',', '.'), 'mm') }] : []));
  const circles = taps.circles.map((circle): Json => ({
    kind: circle.kind,
    number: circle.number,
    tap: pixel(circle.tap),
    snap: circle.snap,
    ...(!circle.snap && isMeasured(circle.diameter) ? { diameter: joinMeasure(circle.diameter.replace(',', '.'), 'mm') } : {}),
  }));
  const [origin, along] = taps.axes;
  return {
    format: 1,
    name,
    seen_from: taps.seenFrom,
    ...(points.length >= 4 ? { known_point: points } : { known_distance: distances }),
    ...(origin && along ? { axes: { origin: pixel(origin), along: pixel(along) } } : {}),
    ...(circles.length > 0 ? { circle: circles } : {}),
    ...(taps.outline.length >= 3 ? { outline: taps.outline.map(pixel) } : {}),
  };
}

const toTenth = (value: number): string => String(Math.round(value * 10) / 10);

/** The plan with what was found put in place of what it had of the same kinds. */
export function onThePlan(drawing: Drawing, answer: TapsAnswer): Drawing {
  const found = answer.circles.filter((circle) => circle.at !== null);
  const of = (kind: string): FoundCircle[] => found.filter((circle) => circle.kind === kind).sort((a, b) => a.number - b.number);
  const place = (circle: FoundCircle): { x: string; y: string } => ({ x: toTenth(circle.at?.[0] ?? 0), y: toTenth(circle.at?.[1] ?? 0) });
  const bores = of('bore');
  const bolts = of('bolt');
  const passages = found.filter((circle) => circle.kind !== 'bore' && circle.kind !== 'bolt');
  const kept = drawing.bores.filter((row) => !bores.some((bore) => String(bore.number) === row.number));
  return {
    bores: bores.length === 0 ? drawing.bores : [...kept, ...bores.map((bore) => ({ number: String(bore.number), ...place(bore), rest: drawing.bores.find((row) => row.number === String(bore.number))?.rest ?? {} }))].sort((a, b) => Number(a.number) - Number(b.number)),
    bolts: bolts.length === 0 ? drawing.bolts : bolts.map((bolt) => ({ ...place(bolt), rest: {} })),
    passages:
      passages.length === 0
        ? drawing.passages
        : passages.map((circle, index) => ({ number: String(index + 1), kind: circle.kind, ...place(circle), diameter: circle.diameter_mm === null ? '' : toTenth(circle.diameter_mm), rest: {} })),
    outline: answer.outline.length < 3 ? drawing.outline : answer.outline.map(([x, y]) => ({ x: toTenth(x), y: toTenth(y), rest: {} })),
  };
}

/** Diameter of the gasket's bore: the mean of the bores found; undefined without one. */
export function boreFound(answer: TapsAnswer): string | undefined {
  const sizes = answer.circles.flatMap((circle) => (circle.kind === 'bore' && circle.diameter_mm !== null ? [circle.diameter_mm] : []));
  return sizes.length === 0 ? undefined : `${toTenth(sizes.reduce((sum, size) => sum + size, 0) / sizes.length)} mm`;
}

/** Taps kept in this browser; anything that is none counts as none. */
export function readTaps(text: string | null): Taps {
  try {
    const read = JSON.parse(text ?? '') as Json;
    if (isTable(read) && ['distances', 'points', 'axes', 'circles', 'outline'].every((key) => Array.isArray(read[key]))) return { ...noTaps(), ...(read as unknown as Taps) };
  } catch {
    return noTaps();
  }
  return noTaps();
}
