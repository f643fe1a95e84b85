/** Where the cylinders stand on the plan, for readings shown at their place: from the engine's own plan, else side by side. */
import { isTable, type Table, valueAt } from './document';
import { cylindersOf } from './readings';

export interface BorePlace {
  number: number;
  x: number;
  y: number;
}

export interface BorePlan {
  bores: BorePlace[];
  radius: number;
  width: number;
  height: number;
}

const PITCH = 100;
const RADIUS = 38;
const EDGE = 56;

/** Bores as the engine file places them; heads that have places of their own are put below each other. */
function placedBores(document: Table): BorePlace[] {
  const list = valueAt(document, ['engine', 'bore']);
  if (!Array.isArray(list)) return [];
  return list.filter(isTable).flatMap((bore) => {
    const at = bore['at'];
    const [x, y] = Array.isArray(at) ? at : [];
    const head = typeof bore['head'] === 'number' ? bore['head'] : 1;
    return typeof bore['number'] === 'number' && typeof x === 'number' && typeof y === 'number' ? [{ number: bore['number'], x, y: y + (head - 1) * 1e4 }] : [];
  });
}

/** Places on a lattice of one pitch: the order along and across is kept, the distances are not. */
function onLattice(bores: readonly BorePlace[]): BorePlace[] {
  const rank = (values: number[], value: number): number => [...new Set(values)].sort((one, other) => one - other).indexOf(value);
  const [xs, ys] = [bores.map(({ x }) => Math.round(x)), bores.map(({ y }) => Math.round(y / 10))];
  return bores.map((bore, index) => ({ number: bore.number, x: rank(xs, xs[index] ?? 0), y: rank(ys, ys[index] ?? 0) }));
}

export function borePlan(document: Table): BorePlan {
  const count = cylindersOf(document);
  const placed = placedBores(document);
  const isWhole = placed.length === count && new Set(placed.map(({ number }) => number)).size === count;
  const lattice = isWhole ? onLattice(placed) : Array.from({ length: count }, (_, index) => ({ number: index + 1, x: index, y: 0 }));
  const across = Math.max(0, ...lattice.map(({ x }) => x));
  const down = Math.max(0, ...lattice.map(({ y }) => y));
  return {
    bores: lattice.map(({ number, x, y }) => ({ number, x: EDGE + x * PITCH, y: EDGE + y * PITCH })),
    radius: RADIUS,
    width: 2 * EDGE + across * PITCH,
    height: 2 * EDGE + down * PITCH,
  };
}
