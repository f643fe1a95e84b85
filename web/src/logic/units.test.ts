import { describe, expect, it } from 'vitest';
import { conversionNote, lengthText, limitText, pressureIn, shown } from './units';

const EXACT = 1e-12;

describe('units on the screen', () => {
  it('agree with NIST SP 811, appendix B: 1 psi = 6.894757 kPa, 1 in = 25.4 mm (from memory)', () => {
    expect(pressureIn(6.894757293168361e-2, 'psi')).toBeCloseTo(1, 12);
    expect(Math.abs(pressureIn(1, 'kPa') - 100)).toBeLessThan(EXACT * 100);
    expect(lengthText(25.4 / 1000, 'thou')).toBe('1.00 thou');
  });

  it('show three digits and no powers of ten', () => {
    expect(shown(12.1)).toBe('12.1');
    expect(shown(0.04213)).toBe('0.0421');
    expect(shown(175.4)).toBe('175');
    expect(shown(0)).toBe('0');
    expect(shown(Number.NaN)).toBe('not known');
  });

  it('never show a limit wider than it is', () => {
    expect(limitText(0.05, 'mm')).toBe('0.05 mm');
    expect(limitText(0.05, 'thou')).toBe('1.96 thou'); // 1.9685 rounded down
    expect(limitText(0.0508, 'thou')).toBe('2.00 thou');
  });

  it('say what a pressure in another unit is, and nothing where nothing needs saying', () => {
    expect(conversionNote('175 psi', 'bar')).toBe('= 12.1 bar');
    expect(conversionNote('12,1 bar', 'bar')).toBe('');
    expect(conversionNote('', 'bar')).toBe('');
    expect(conversionNote('25 %', 'bar')).toBe('');
  });
});
