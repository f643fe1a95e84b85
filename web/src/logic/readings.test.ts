import { describe, expect, it } from 'vitest';
import { applyEdits, type Table } from './document';
import { keyEdits, unitEdits, unitOf, valueDoubt, valueEdits, valuesOf } from './readings';

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
