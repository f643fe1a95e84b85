import { describe, expect, it } from 'vitest';
import { CUT_SCALES, draggedText, figureDoubt, figureOf, scaleOf, scalesFor, steppedText } from './drag_figure';

describe('a figure that is dragged', () => {
  it('moves on whole steps, in the unit and with the decimal sign that were typed', () => {
    expect(draggedText(0.314, '', CUT_SCALES)).toBe('0.31');
    expect(draggedText(0.314, '0,2', CUT_SCALES)).toBe('0,31');
    expect(draggedText(12.5, '8 thou', CUT_SCALES)).toBe('12.5 thou');
  });

  it('stays on its scale', () => {
    expect(draggedText(7, '', CUT_SCALES)).toBe('1.00');
    expect(draggedText(-1, '', CUT_SCALES)).toBe('0.00');
  });

  it('steps with the keys to the next whole step; a blank one begins where it is told', () => {
    expect(steppedText(1, '0.155', 0, CUT_SCALES)).toBe('0.16');
    expect(steppedText(-1, '0.155', 0, CUT_SCALES)).toBe('0.15');
    expect(steppedText(1, '0.15', 0, CUT_SCALES)).toBe('0.16');
    expect(steppedText(10, '', 0, CUT_SCALES)).toBe('0.10');
    expect(steppedText(1, '6,5 thou', 0, CUT_SCALES)).toBe('7,0 thou');
  });

  it('never rewrites a text that does not read', () => {
    expect(steppedText(1, '0.1.5', 0, CUT_SCALES)).toBe('0.1.5');
    expect(figureOf('0.1.5', CUT_SCALES)).toBeUndefined();
    expect(figureOf('3 cubits', CUT_SCALES)).toBeUndefined();
    expect(figureDoubt('0.1.5', 'mm')).toContain('more than one comma or point');
    expect(figureDoubt('', 'mm')).toBe('');
  });

  it('begins in the reader’s unit', () => {
    expect(scaleOf('', scalesFor(CUT_SCALES, 'thou')).unit).toBe('thou');
    expect(scaleOf('0.1 mm', scalesFor(CUT_SCALES, 'thou')).unit).toBe('mm');
    expect(scalesFor(CUT_SCALES, 'furlong')[0].unit).toBe('mm');
  });
});
