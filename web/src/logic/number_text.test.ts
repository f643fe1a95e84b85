import { describe, expect, it } from 'vitest';
import { joinMeasure, readNumber, shownIn, splitMeasure, understoodText } from './number_text';

describe('a number as typed', () => {
  it('is blank when nothing is typed: blank is not zero', () => {
    expect(readNumber('')).toEqual({ kind: 'blank' });
    expect(readNumber('  ')).toEqual({ kind: 'blank' });
  });

  it.each([
    ['12.1', 12.1],
    ['12,1', 12.1],
    [',5', 0.5],
    ['-0.02', -0.02],
    ['\u22120,02', -0.02],
    ['0', 0],
    ['3/64', 3 / 64],
    ['1 1/2', 1.5],
    ['-1/4', -0.25],
    ['175', 175],
  ])('reads %s', (typed, value) => {
    expect(readNumber(typed)).toMatchObject({ kind: 'number', value });
  });

  it.each(['1.234,5', '1,234,567', 'abc', '12x', '1/0', '--1', '1e3', 'NaN', 'Infinity', '١٢'])('does not read %s and says how to mend it', (typed) => {
    const read = readNumber(typed);
    expect(read.kind).toBe('problem');
    expect(read.kind === 'problem' && read.mend.length > 0).toBe(true);
  });

  it('never takes a lone comma as thousands', () => {
    expect(readNumber('1,234')).toMatchObject({ kind: 'number', value: 1.234 });
  });
});

describe('a measure', () => {
  it.each([
    ['12,1 bar', '12,1', 'bar'],
    ['12.1bar', '12.1', 'bar'],
    ['175', '175', ''],
    ['25 %', '25', '%'],
    ['3/64 in', '3/64', 'in'],
    ['inaccessible', 'inaccessible', ''],
    ['', '', ''],
  ])('%s splits', (text, number, unit) => {
    expect(splitMeasure(text)).toEqual({ number, unit });
  });

  it('keeps what was typed and adds the unit of the field only where none was typed', () => {
    expect(joinMeasure('12,1', 'bar')).toBe('12,1 bar');
    expect(joinMeasure('175 psi', 'bar')).toBe('175 psi');
    expect(joinMeasure('inaccessible', 'bar')).toBe('inaccessible');
    expect(joinMeasure(' ', 'bar')).toBe('');
    expect(joinMeasure('3/64', 'in')).toBe('3/64 in');
  });

  it('is shown as it was typed', () => {
    for (const typed of ['12,1', '9.30', '1/2', '12,1x']) expect(shownIn(joinMeasure(typed, 'bar'), 'bar')).toBe(typed);
    expect(shownIn('175 psi', 'bar')).toBe('175 psi');
  });
});

describe('a figure as it is understood', () => {
  it.each([
    ['12,1', 'bar', '12.1 bar'],
    ['9,40', 'bar', '9.40 bar'],
    ['3/64', 'in', '0.0469 in'],
    ['\u22120,05', 'mm', '-0.05 mm'],
    ['12.1', 'bar', ''],
    ['12.1 psi', 'bar', ''],
    ['', 'bar', ''],
    ['1.2.3', 'bar', ''],
    ['inaccessible', 'bar', ''],
  ])('%s in %s is %s', (typed, unit, understood) => expect(understoodText(typed, unit)).toBe(understood));
});
