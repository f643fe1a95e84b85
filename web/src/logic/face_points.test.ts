import { describe, expect, it } from 'vitest';
import { applyEdits, type Table, valueAt } from './document';
import { faceParts, facePath, type FaceTable, measuredCount, readablePart, readTable, tableEdits, UNFINISHED, writeTable } from './face_points';

const units = { place: 'mm', height: 'mm' };

describe('a table of points', () => {
  it.each([
    ['comma', 'x_mm,y_mm,z_mm\n0,0,0.01\n400,0,0.02\n'],
    ['semicolon with decimal comma', 'x_mm;y_mm;z_mm\n0;0;0,01\n400;0;0,02\n'],
    ['tab, as a spreadsheet copies it', 'x (mm)\ty (mm)\tz (mm)\r\n0\t0\t0.01\r\n400\t0\t0.02'],
    ['a number before the point', '# head\npoint,x_mm,y_mm,z_mm\n1,0,0,0.01\n2,400,0,0.02\n'],
    ['bare columns', '0\t0\t0.01\n400\t0\t0.02'],
  ])('is read: %s', (_, text) => {
    const table = readTable(text);
    expect(table?.rows.map((row) => row.map((cell) => cell.replace(',', '.')))).toEqual([
      ['0', '0', '0.01'],
      ['400', '0', '0.02'],
    ]);
  });

  it('keeps the units of its header', () => {
    expect(readTable('x_in;y_in;z_thou\n1;1;2\n')?.units).toEqual({ place: 'in', height: 'thou' });
    expect(readTable('x_mm,y_mm,z_um\n1,1,2\n')?.units).toEqual({ place: 'mm', height: 'um' });
  });

  it('is refused when it is prose', () => {
    expect(readTable('the head looked flat to me')).toBeUndefined();
    expect(readTable('')).toBeUndefined();
  });

  it('comes back from the document as it was typed, open points too', () => {
    const table: FaceTable = { units, rows: [['0', '0', '0,01'], ['100', '0', ''], ['200', '0', '\u22120,02']] };
    expect(readTable(writeTable(table))).toEqual(table);
  });

  it('carries a blank height as blank: it was not measured and is not zero', () => {
    const text = writeTable({ units, rows: [['0', '0', '1'], ['100', '0', '']] });
    expect(text).toBe('x_mm;y_mm;z_mm\n0;0;1\n100;0;\n');
    expect(measuredCount(readTable(text) as FaceTable)).toBe(1);
  });

  it('carries a point without its place as a remark, so that the rest still reads', () => {
    const table: FaceTable = { units, rows: [['0', '0', '1'], ['100', '', '2']] };
    expect(writeTable(table)).toBe('x_mm;y_mm;z_mm\n0;0;1\n#open;100;;2\n');
    expect(readTable(writeTable(table))).toEqual(table);
  });

  it('keeps what its points are called', () => {
    const table: FaceTable = { units, rows: [['0', '0', '1'], ['100', '0', '2']], names: ['A1', 'A2'] };
    expect(writeTable(table)).toBe('point;x_mm;y_mm;z_mm\nA1;0;0;1\nA2;100;0;2\n');
    expect(readTable(writeTable(table))).toEqual(table);
  });

  it('tells "not accessible" from "not measured"', () => {
    const table = readTable('x_mm;y_mm;z_mm\n0;0;n/a\n1;0;\n') as FaceTable;
    expect(table.rows.map((row) => row[2])).toEqual(['inaccessible', '']);
  });

  it('is no table before the first point with its place', () => {
    expect(writeTable({ units, rows: [['0', '', ''], ['', '', '']] })).toBe('');
  });
});

describe('a face that is being measured', () => {
  const head = { part: 'head', text: 'Head' } as const;
  const kept = (document: Table, rows: FaceTable['rows']): Table => applyEdits(document, tableEdits(document, head, { units, rows }));
  const square: FaceTable['rows'] = [['0', '0', '0'], ['100', '0', '0'], ['0', '100', '0']];

  it('does not count before four heights stand that are not on one line, and counts from then on', () => {
    const begun = kept({}, square);
    expect(valueAt(begun, facePath(head, 'void'))).toBe(UNFINISHED);
    expect(valueAt(kept({}, [0, 1, 2, 3, 4].map((step) => [String(step), '0', '0'])), facePath(head, 'void'))).toBe(UNFINISHED);
    const done = kept(begun, [...square, ['100', '100', '0,02']]);
    expect(valueAt(done, facePath(head, 'void'))).toBeUndefined();
  });

  it('is judged without a height that does not read yet', () => {
    expect(readablePart({ units, rows: [['0', '0', '-'], ['1', '0', '0.0.1'], ['2', '0', 'n/a'], ['3', '0', '-0,01']] }).rows.map((row) => row[2])).toEqual(['', '', 'n/a', '-0,01']);
  });

  it('stays void for another reason', () => {
    const document: Table = { face: [{ part: 'head', table: 'x', void: 'plate was dirty' }] };
    expect(valueAt(kept(document, [...square, ['100', '100', '0']]), facePath(head, 'void'))).toBe('plate was dirty');
  });
});

describe('the faces of an engine', () => {
  it('are one head and the block, a head for each bank, or a head for each cylinder', () => {
    const names = (heads: string): string[] => faceParts({ engine: { engine: { heads, cylinders: 4 } } }).map((part) => part.text);
    expect(names('one')).toEqual(['Head', 'Block']);
    expect(names('per_bank')).toEqual(['Head 1', 'Head 2', 'Block']);
    expect(names('per_cylinder')).toHaveLength(5);
  });
});
