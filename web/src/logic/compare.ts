/** Two alternatives side by side: the same figures of both answers, row by row. */
import type { ClampFigures } from './clamping';
import { consequenceLines, lineFigure, verdictText } from './cut';
import type { AfterSkimAnswer, ClampAnswer, TightenAnswer } from './operation_answers';
import { joinMeasure } from './number_text';
import type { TightenFigures } from './tightening';
import { fixed, type LengthUnit } from './units';
import { capital } from './wording';

export interface CompareRow {
  name: string;
  one: string;
  other: string;
  change: string; /** "+12", "−0.30"; "" where there is none or it is no number */
}

function row(name: string, one: number | null | undefined, other: number | null | undefined, decimals: number): CompareRow {
  const texts = [one, other].map((value) => fixed(value, decimals)) as [string, string];
  const difference = Number(texts[1]) - Number(texts[0]);
  const change = Number.isFinite(difference) && difference !== 0 ? `${difference > 0 ? '+' : '−'}${Math.abs(difference).toFixed(decimals)}` : '';
  return { name, one: texts[0], other: texts[1], change };
}

export function clampRows(one: ClampAnswer, other: ClampAnswer): CompareRow[] {
  const rings = one.fire_rings.flatMap((ring) => {
    const twin = other.fire_rings.find((found) => found.bore === ring.bore);
    const name = `Fire ring ${ring.bore}`;
    return [row(`${name}, least line load, N/mm`, ring.line_load_min_N_per_mm, twin?.line_load_min_N_per_mm, 0), row(`${name}, margin`, ring.margin, twin?.margin, 2)];
  });
  const least = (answer: ClampAnswer): number | undefined => (answer.passages.length === 0 ? undefined : Math.min(...answer.passages.map((passage) => passage.pressure_min_MPa)));
  const open = (answer: ClampAnswer): number | undefined => (answer.open_area_fraction == null ? undefined : 100 * answer.open_area_fraction);
  return [...rings, row('Weakest passage, MPa', least(one), least(other), 2), row('Gasket without contact, %', open(one), open(other), 1)];
}

export function tightenRows(one: TightenAnswer, other: TightenAnswer): CompareRow[] {
  const last = (answer: TightenAnswer): TightenAnswer['passes'][number] | undefined => answer.passes[answer.passes.length - 1];
  const [a, b] = [last(one), last(other)];
  const kN = (newton: number | null | undefined): number | undefined => (newton == null ? undefined : newton / 1000);
  const numbers = [...new Set([...(a?.bolts ?? []), ...(b?.bolts ?? [])].map((bolt) => bolt.number))].sort((x, y) => x - y);
  const force = (pass: typeof a, number: number): number | undefined => kN(pass?.bolts.find((bolt) => bolt.number === number)?.force_N);
  return [
    row('Passes', one.passes.length, other.passes.length, 0),
    row('Scatter of the bolts, kN', kN(a?.std_N), kN(b?.std_N), 2),
    row('Least of the bolts, kN', kN(a?.min_N), kN(b?.min_N), 1),
    row('Greatest of the bolts, kN', kN(a?.max_N), kN(b?.max_N), 1),
    ...numbers.map((number) => row(`Bolt ${number}, kN`, force(a, number), force(b, number), 1)),
  ];
}

/** What the two cuts leave, line by line, with the verdict on each. */
export function skimRows(one: AfterSkimAnswer, other: AfterSkimAnswer, length: LengthUnit): CompareRow[] {
  const twins = consequenceLines(other);
  return consequenceLines(one).map((line) => {
    const twin = twins.find((found) => found.line === line.line);
    const text = (found: typeof line | undefined): string => (found ? `${lineFigure(found.after, found.unit, length)}, ${verdictText(found).toLowerCase()}` : '–');
    return { name: capital(line.name), one: text(line), other: text(twin), change: text(line) === text(twin) ? '' : 'differs' };
  });
}

/** What an alternative is called: the figures that make it. */
export function clampName(figures: ClampFigures, filePreload: string): string {
  const parts = [figures.head === '' ? '' : `head ${figures.head}`, joinMeasure(figures.preload, 'kN') || filePreload || 'preload of the file', figures.fired.length > 0 ? `gas ${joinMeasure(figures.gas, figures.pressureUnit)} in ${figures.fired.join(', ')}` : 'no gas', figures.withFaces ? (figures.withCut ? 'after the cut' : 'faces as measured') : 'flat faces', figures.heat.trim() === '' ? '' : `${joinMeasure(figures.heat, 'K')} warmer`];
  return parts.filter((part) => part !== '').join(' · ');
}

export function tightenName(figures: TightenFigures): string {
  return `${figures.order.trim() === '' ? 'maker’s order' : figures.order} · ${figures.passes || '3'} passes · ${figures.untightened}`;
}
