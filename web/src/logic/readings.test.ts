import { describe, expect, it } from 'vitest';
import { applyEdits, type Table } from './document';
import { areaText, keyEdits, outletText, pairAreaText, unitEdits, unitOf, valueDoubt, valueEdits, valuesOf } from './readings';

const engine: Table = { engine: { name: 'e', engine: { cylinders: 4 } } };
const begun = applyEdits(engine, valueEdits(engine, 'compression', 2, '9,4', 'bar'));

describe('a reading', () => {
  it('has one value for each cylinder from the first one typed, blank where none was taken', () => {
    expect(valuesOf(begun, 'compression')).toEqual(['', '9,4 bar', '', '']);
    expect(begun['reading']).toEqual([{ test: 'compression', values: ['', '9,4 bar', '', ''] }]);
  });

  it('has its list also when only the supply was typed', () => {
    const after = applyEdits(engine, keyEdits(engine, 'leak_down', 'supply', '80 psi'));
    expect(after['reading']).toEqual([{ test: 'leak_down', values: ['', '', '', ''], supply: '80 psi' }]);
  });

  it('forgets a key that was emptied', () => {
    const with_supply = applyEdits(engine, keyEdits(engine, 'leak_down', 'supply', '80 psi'));
    const after = applyEdits(with_supply, keyEdits(with_supply, 'leak_down', 'supply', ''));
    expect(after['reading']).toEqual([{ test: 'leak_down', values: ['', '', '', ''] }]);
  });

  it('keeps the numbers as typed when the unit is put right', () => {
    const after = applyEdits(begun, unitEdits(begun, 'compression', 'bar', 'psi'));
    expect(valuesOf(after, 'compression')).toEqual(['', '9,4 psi', '', '']);
    expect(unitOf(after, 'compression', 'bar')).toBe('psi');
  });

  it('is doubted where it cannot be a gauge reading, and only there', () => {
    expect(valueDoubt('12,1', 'bar')).toBe('');
    expect(valueDoubt('', 'bar')).toBe('');
    expect(valueDoubt('inaccessible', 'bar')).toBe('');
    expect(valueDoubt('1.2.3', 'bar')).not.toBe('');
    expect(valueDoubt('-3', 'bar')).not.toBe('');
    expect(valueDoubt('120', '%')).not.toBe('');
  });
});

describe('an area', () => {
  it('stands with its band, open above where the test sets no limit', () => {
    expect(areaText({ leak_area_mm2: 1.07, low_mm2: 0.7, high_mm2: 1.63 })).toBe('1.1 mm² (0.70 – 1.6)');
    expect(areaText({ leak_area_mm2: 4, low_mm2: 2, high_mm2: null })).toBe('4.0 mm² (2.0 or more)');
    expect(areaText({ leak_area_mm2: null })).toBe('');
  });

  it('of a pair is said only when it could be worked out', () => {
    expect(pairAreaText({ bridge: '2-3', text: '', leak_area_mm2: 0.8, low_mm2: 0.5, high_mm2: 1.2 })).toBe('If all that both lack goes across: 0.80 mm² (0.50 – 1.2).');
    expect(pairAreaText({ bridge: '2-3', text: '' })).toBe('');
  });

  it('of an outlet says how it was told, and that some outlets never breathe', () => {
    const outlet = { cylinder: 2, outlet: 'coolant', how: 'by ear', share: 0.3, leak_area_mm2: 0.4, low_mm2: 0.3, high_mm2: 0.6, never_sound: true };
    expect(outletText(outlet)).toBe('coolant: 30 % of the leak, 0.40 mm² (0.30 – 0.60), by ear; any air there is a fault');
  });
});
