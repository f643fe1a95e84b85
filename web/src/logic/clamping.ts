/** The joint clamped on the computer: what is asked of it, and its figures as rows of tables. */
import type { Options } from './api';
import { figureAt } from './cut';
import { isTable, type Table, textAt, valueAt } from './document';
import { UNFINISHED } from './face_points';
import { joinMeasure } from './number_text';
import type { ClampAnswer, FireRing, SealChanceAnswer } from './operation_answers';
import { cylindersOf } from './readings';
import { fixed } from './units';
import { capital } from './wording';

export interface ClampFigures {
  preload: string; /** blank: the engine file's */
  gas: string;
  fired: readonly number[]; /** cylinders under gas */
  withFaces: boolean;
  withCut: boolean; /** the faces that are cut taken as flat */
  pressureUnit: string;
  head: string; /** which of several; blank: the first */
  heat: string; /** warmer than when tightened; blank: cold */
}

function faceRows(document: Table): Table[] {
  const faces = valueAt(document, ['face']);
  return Array.isArray(faces) ? faces.filter(isTable).filter((face) => face['void'] === undefined || face['void'] === '') : [];
}

const hasPoints = (face: Table): boolean => ['table', 'points', 'file'].some((key) => typeof face[key] === 'string' && face[key] !== '');

/** Which faces the job has points of: "head", "block". */
export function facesWithPoints(document: Table): string[] {
  return [...new Set(faceRows(document).filter(hasPoints).map((face) => String(face['part'])))];
}

export function isUnfinished(face: Table): boolean {
  return face['void'] === UNFINISHED;
}

/** The job as the calculation is to see it: without the faces that are left out, or that the cut has made flat. */
export function clampDocument(document: Table, figures: ClampFigures): Table {
  const cutParts = [figureAt(document, ['cut', 'head']) === '' ? '' : 'head', figureAt(document, ['cut', 'deck']) === '' ? '' : 'block'];
  const isLeftOut = (face: Table): boolean => !figures.withFaces || (figures.withCut && cutParts.includes(String(face['part'])));
  const faces = valueAt(document, ['face']);
  if (!Array.isArray(faces)) return document;
  const left = faces.filter((face) => !isTable(face) || !isLeftOut(face));
  const { face: _, ...rest } = document;
  return left.length === 0 ? rest : { ...rest, face: left };
}

/** How many heads the engine has. */
export function headCount(document: Table): number {
  const heads = textAt(document, ['engine', 'engine', 'heads']);
  return heads === 'per_bank' ? 2 : heads === 'per_cylinder' ? cylindersOf(document) : 1;
}

export const headOption = (head: string): Options => (head === '' || head === '1' ? {} : { head });

export function clampOptions(figures: ClampFigures): Options {
  const gas = joinMeasure(figures.gas, figures.pressureUnit);
  const fired = gas === '' ? [] : figures.fired.map((bore) => `${bore}=${gas}`);
  const preload = joinMeasure(figures.preload, 'kN');
  return { ...(preload === '' ? {} : { preload }), ...(fired.length === 0 ? {} : { gas: fired }), ...headOption(figures.head), ...(figures.heat.trim() === '' ? {} : { heat: joinMeasure(figures.heat, 'K') }) };
}

export interface FireRingRow {
  bore: number;
  least: string;
  mean: string;
  margin: string;
  where: string;
  verdict: string;
  isShort: boolean;
  isWeakest: boolean;
}

const SIDES = ['towards the rear', 'rear right', 'towards the right', 'front right', 'towards the front', 'front left', 'towards the left', 'rear left'] as const;

/** An angle from the crank's axis, seen from above with the front at the left; y runs from the left side of the engine to the right. */
export function sideText(angle: number): string {
  const turn = ((Math.round(angle / 45) % 8) + 8) % 8;
  return `${SIDES[turn] ?? ''} (${Math.round(((angle % 360) + 360) % 360)}°)`;
}

/** Rings in the order of their bores; the one with the least margin is the weakest, or the least loaded where nothing is asked of them. */
export function fireRingRows(rings: readonly FireRing[]): FireRingRow[] {
  const weakness = (ring: FireRing): number => ring.margin ?? ring.line_load_min_N_per_mm;
  const least = Math.min(...rings.map(weakness));
  return rings.map((ring) => {
    const isShort = ring.margin !== null && ring.margin !== undefined && ring.margin < 1;
    return {
      bore: ring.bore,
      least: fixed(ring.line_load_min_N_per_mm, 0),
      mean: fixed(ring.line_load_mean_N_per_mm, 0),
      margin: fixed(ring.margin, 2),
      where: ring.angle_of_min_deg == null ? '–' : sideText(ring.angle_of_min_deg),
      verdict: ring.margin == null ? 'Nothing is asked of it in the engine file' : isShort ? 'Too little' : 'Enough',
      isShort,
      isWeakest: rings.length > 1 && weakness(ring) === least,
    };
  });
}

/** How the calculation fared, for whoever wants to judge it. */
export function balanceText(answer: ClampAnswer): string {
  const kN = (newton: number | null | undefined): string => fixed(newton == null ? undefined : newton / 1000, 1);
  const open = answer.open_area_fraction == null ? undefined : 100 * answer.open_area_fraction;
  return `${answer.status.replace(/_/g, ' ')} after ${answer.steps} ${answer.steps === 1 ? 'step' : 'steps'} · the gasket carries ${kN(answer.reaction_N)} kN of ${kN(answer.applied_N)} kN applied · ${fixed(open, 1)} % of it open · largest deflection ${fixed(answer.deflection_max_mm, 3)} mm`;
}

/** In one line: does every ring keep what it needs? */
export function sealSentence(answer: ClampAnswer): string {
  if (answer.status !== 'converged') return `no figure to be used: ${answer.status_text ?? answer.status.replace(/_/g, ' ')}`;
  const rows = fireRingRows(answer.fire_rings ?? []);
  const short = rows.filter((row) => row.isShort);
  const weakest = rows.find((row) => row.isWeakest) ?? rows[0];
  if (short.length > 0) return `fire ring ${short.map((row) => row.bore).join(', ')} gets less than it needs under these loads`;
  if (!weakest || weakest.margin === '–') return 'the engine file does not say what a fire ring needs, so there is no verdict';
  return `every fire ring gets what it needs; ring ${weakest.bore} has the least to spare, ${weakest.margin} times what it needs`;
}

export function passageRows(answer: ClampAnswer): { number: number; pressure: string }[] {
  return [...(answer.passages ?? [])].sort((one, other) => one.pressure_min_MPa - other.pressure_min_MPa).map((row) => ({ number: row.number, pressure: fixed(row.pressure_min_MPa, 2) }));
}

export function boltRows(answer: ClampAnswer): { number: number; force: string; movement: string }[] {
  return (answer.bolts ?? []).map((bolt) => ({ number: bolt.number, force: fixed(bolt.force_N == null ? undefined : bolt.force_N / 1000, 2), movement: fixed(bolt.movement_mm, 4) }));
}

const percent = (share: number | undefined): string => (share === undefined ? '' : `${Math.round(100 * share)} %`);

export function weakestText(weak: SealChanceAnswer['weakest'][number]): string {
  if (typeof weak === 'string') return capital(weak);
  const name = weak.text ?? (weak.bore !== undefined ? `fire ring ${weak.bore}` : weak.passage !== undefined ? `passage ${weak.passage}` : (weak.where ?? ''));
  const share = percent(weak.share ?? weak.chance);
  return capital(share === '' ? name : `${name}: weakest in ${share} of the trials`);
}

export function contributionTexts(answer: SealChanceAnswer): string[] {
  return (answer.contributions ?? answer.inputs ?? []).map((one) => {
    const share = percent(one.share);
    const name = one.text ?? (one.input ?? '').replace(/_/g, ' ');
    return capital(share === '' ? name : `${name}: ${share} of the spread`);
  });
}
