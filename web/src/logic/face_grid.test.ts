import { describe, expect, it } from 'vitest';
import type { Table } from './document';
import { gridOf, heightCell, holesOf, INACCESSIBLE, type Layout, laidOut, layoutOfDeck, layoutProblems, neighbour, nextOnPath, pasted, signTurned } from './face_grid';
import type { FaceTable } from './face_points';

const layout: Layout = { columns: '3', rows: '2', columnSpacing: '100', rowSpacing: '50', firstX: '10', firstY: '10' };
const units = { place: 'mm', height: 'mm' };
const tableOf = (rows: FaceTable['rows']): FaceTable => ({ units, rows });
const engine: Table = {
  engine: {
    engine: { bore: { value: '80 mm', source: 'invented' } },
    head: { outline: [[0, 0], [430, 0], [430, 170], [0, 170]] },
    bore: [{ number: 1, at: [65, 85] }],
    passage: [{ number: 1, kind: 'coolant', at: [10, 10], diameter: '9 mm' }],
  },
};

describe('a grid', () => {
  it('is walked back and forth, each row from the front, or column by column', () => {
    const places = (path: 'turning' | 'rows' | 'columns'): string[] => laidOut(layout, path, []).map((row) => `${row[0]},${row[1]}`);
    expect(places('turning')).toEqual(['10,60', '110,60', '210,60', '210,10', '110,10', '10,10']);
    expect(places('rows')).toEqual(['10,60', '110,60', '210,60', '10,10', '110,10', '210,10']);
    expect(places('columns')).toEqual(['10,60', '10,10', '110,60', '110,10', '210,60', '210,10']);
  });

  it('is known again from its points, whatever their order', () => {
    const rows = laidOut({ ...layout, columns: '9', rows: '5' }, 'turning', []);
    const grid = gridOf(tableOf(rows));
    expect([grid?.xs.length, grid?.ys.length]).toEqual([9, 5]);
    expect(grid?.cells[1]?.[0]).toBe(17);
    expect(gridOf(tableOf(rows.slice(1)))).toBeUndefined();
    expect(gridOf(tableOf([...rows.slice(1), ['11', '11', '']]))).toBeUndefined();
  });

  it('covers the deck from the engine file, ten millimetres inside its edge', () => {
    expect(layoutOfDeck(engine, '9', '5', 'mm')).toEqual({ columns: '9', rows: '5', columnSpacing: '51.25', rowSpacing: '37.5', firstX: '10', firstY: '10' });
    expect(layoutOfDeck({}, '9', '5', 'mm')).toBeUndefined();
  });

  it('marks what lies over a bore or a hole as not accessible', () => {
    expect(holesOf(engine, 'mm')).toEqual([{ x: 65, y: 85, radius: 40 }, { x: 10, y: 10, radius: 4.5 }]);
    const rows = laidOut({ ...layout, columns: '2', rows: '2', columnSpacing: '50', rowSpacing: '70' }, 'turning', holesOf(engine, 'mm'));
    expect(rows.map((row) => row[2])).toEqual(['', INACCESSIBLE, '', INACCESSIBLE]);
  });

  it('is asked for in full before it is laid out', () => {
    expect(layoutProblems(layout)).toEqual([]);
    expect(layoutProblems({ ...layout, columns: '1', rowSpacing: '0', firstX: '' }).map((problem) => problem.field)).toEqual(['columns', 'rowSpacing', 'firstX']);
  });

  it('is walked over what is not accessible', () => {
    const rows = laidOut(layout, 'rows', [{ x: 110, y: 60, radius: 1 }]);
    const grid = gridOf(tableOf(rows))!;
    expect(nextOnPath(rows, 0, 1)).toBe(2);
    expect(nextOnPath(rows, 2, -1)).toBe(0);
    expect(nextOnPath(rows, 5, 1)).toBe(-1);
    expect(neighbour(grid, rows, 0, 0, 1)).toBe(2);
    expect(neighbour(grid, rows, 0, 1, 0)).toBe(3);
    expect(neighbour(grid, rows, 0, -1, 0)).toBe(-1);
  });

  it('takes a block from a spreadsheet where the focus is, and says what did not fit', () => {
    const rows = laidOut(layout, 'turning', []);
    const grid = gridOf(tableOf(rows))!;
    const { rows: filled, taken, leftOver } = pasted('0,01\t0,02\t9\r\n0,03\t\t9\r\n', grid, rows, 1);
    expect(filled.map((row) => row[2])).toEqual(['', '0,01', '0,02', '', '0,03', '']);
    expect([taken, leftOver]).toEqual([4, 2]);
  });

  it('takes marks for what no stylus reaches, and turns signs', () => {
    expect(['n/a', 'NA', 'inaccessible'].map(heightCell)).toEqual([INACCESSIBLE, INACCESSIBLE, INACCESSIBLE]);
    expect(heightCell('0,02')).toBe('0,02');
    expect(['0.02', '-0,02', '+3', '', INACCESSIBLE].map(signTurned)).toEqual(['-0.02', '0,02', '-3', '', INACCESSIBLE]);
  });
});
