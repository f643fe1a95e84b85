/** Units on the screen. Stored values stay as typed; only computed values are shown in the unit chosen. */
import { readNumber, splitMeasure } from './number_text';

export type PressureUnit = 'bar' | 'psi' | 'kPa';
export type LengthUnit = 'mm' | 'thou';

export interface UnitChoice {
  pressure: PressureUnit;
  length: LengthUnit;
}

/** Offered together, as they are used together. */
export const UNIT_CHOICES: readonly { id: string; label: string; choice: UnitChoice }[] = [
  { id: 'mm-bar', label: 'mm · bar', choice: { pressure: 'bar', length: 'mm' } },
  { id: 'mm-kPa', label: 'mm · kPa', choice: { pressure: 'kPa', length: 'mm' } },
  { id: 'thou-psi', label: 'thou · psi', choice: { pressure: 'psi', length: 'thou' } },
];

// 1 in = 25.4 mm and 1 lbf = 4.4482216152605 N by definition, so 1 psi = 6.894757293168361 kPa (NIST SP 811, appendix B).
const BAR_PER: Record<PressureUnit, number> = { bar: 1, kPa: 0.01, psi: 0.06894757293168361 };
const MM_PER: Record<LengthUnit | 'in', number> = { mm: 1, thou: 0.0254, in: 25.4 };

export function isPressureUnit(unit: string): unit is PressureUnit {
  return unit in BAR_PER;
}

export function pressureIn(bar: number, unit: PressureUnit): number {
  return bar / BAR_PER[unit];
}

export function lengthIn(mm: number, unit: LengthUnit | 'in'): number {
  return mm / MM_PER[unit];
}

/** Three significant digits, never in powers of ten: 12.1, 0.042, 175. */
export function shown(value: number, digits = 3): string {
  if (!Number.isFinite(value)) return 'not known';
  if (value === 0) return '0';
  const decimals = Math.max(0, digits - 1 - Math.floor(Math.log10(Math.abs(value))));
  return value.toFixed(Math.min(decimals, 6));
}

/** A figure with so many decimals; a dash where there is none. */
export function fixed(value: number | null | undefined, decimals: number): string {
  return value == null || !Number.isFinite(value) ? '–' : value.toFixed(decimals);
}

export function pressureText(bar: number, unit: PressureUnit): string {
  return `${shown(pressureIn(bar, unit))} ${unit}`;
}

/** A length to a tenth of a micrometre; in thou to a hundredth. */
export function lengthText(mm: number, unit: LengthUnit): string {
  return unit === 'mm' ? `${mm.toFixed(4)} mm` : `${lengthIn(mm, 'thou').toFixed(2)} thou`;
}

/** A limit is rounded down, so that the screen never allows more than the maker does. */
export function limitText(mm: number, unit: LengthUnit): string {
  if (unit === 'mm') return `${String(mm)} mm`;
  const steps = lengthIn(mm, 'thou') * 100;
  return `${(Math.floor(steps + 1e-9) / 100).toFixed(2)} thou`;
}

/** What a pressure typed in another unit is in this one, "= 12.1 bar"; "" where nothing needs saying. */
export function conversionNote(stored: string, unit: PressureUnit): string {
  const measure = splitMeasure(stored);
  if (!isPressureUnit(measure.unit) || measure.unit === unit) return '';
  const number = readNumber(measure.number);
  return number.kind === 'number' ? `= ${pressureText(number.value * BAR_PER[measure.unit], unit)}` : '';
}
