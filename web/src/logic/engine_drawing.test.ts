import { describe, expect, it } from 'vitest';
import { drawingProblems, nextNumber, readDrawing, withDrawing } from './engine_drawing';

const ENGINE = {
  format: 1,
  name: 'Marlow 1.6',
  engine: { cylinders: 2 },
  head: { material: 'aluminium', outline: [[0, 0], [300, 0], [300, 170]] },
  bore: [{ number: 1, at: [65, 85] }, { number: 2, at: [153.5, 85], head: 1 }],
  bolts: { size: 'M11x1.5', at: [[15, 15], [115, 15]] },
  passage: [{ number: 1, kind: 'coolant', at: [40, 20], diameter: { value: '9 mm', source: 'photograph', status: 'measured' } }],
};

describe('the drawing of an engine', () => {
  it('reads and writes the same document', () => {
    expect(withDrawing(ENGINE, readDrawing(ENGINE))).toEqual(ENGINE);
  });

  it('takes a decimal comma', () => {
    const drawing = readDrawing(ENGINE);
    drawing.bolts[0]!.x = '15,5';
    expect((withDrawing(ENGINE, drawing)['bolts'] as { at: number[][] }).at[0]).toEqual([15.5, 15]);
  });

  it('keeps the source of a figure until another is typed', () => {
    const drawing = readDrawing(ENGINE);
    drawing.passages[0]!.diameter = '10';
    expect(withDrawing(ENGINE, drawing)['passage']).toEqual([{ number: 1, kind: 'coolant', at: [40, 20], diameter: '10 mm' }]);
  });

  it('leaves out what became empty and keeps what else the table holds', () => {
    const after = withDrawing(ENGINE, { bores: [], bolts: [], passages: [], outline: [] });
    expect(after['bore']).toBeUndefined();
    expect(after['bolts']).toEqual({ size: 'M11x1.5' });
    expect(after['head']).toEqual({ material: 'aluminium' });
  });

  it('says every problem at its field', () => {
    const drawing = readDrawing(ENGINE);
    drawing.bores[1]!.number = '1';
    drawing.bolts[0]!.x = 'left';
    drawing.bolts[1]!.y = '';
    drawing.passages[0]!.diameter = 'wide';
    drawing.outline.length = 2;
    expect(drawingProblems(drawing).map((problem) => problem.field)).toEqual(['bore-2-number', 'bolt-1-x', 'bolt-2-y', 'passage-1-diameter', 'outline-1-x']);
  });

  it('script and emoji are numbers that do not read, nothing more', () => {
    const drawing = readDrawing(ENGINE);
    drawing.bolts[0]!.x = '<script>';
    drawing.bolts[0]!.y = '🔧';
    drawing.bolts[1]!.x = '1e9';
    expect(drawingProblems(drawing)).toHaveLength(3);
  });

  it('numbers a new row behind the last', () => {
    expect(nextNumber(readDrawing(ENGINE).bores)).toBe('3');
    expect(nextNumber([])).toBe('1');
  });
});
