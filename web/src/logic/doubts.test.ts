import { describe, expect, it } from 'vitest';
import { applyEdits } from './document';
import { confirmEdits, openProblems, pageDoubts } from './doubts';

const compression = (...values: string[]) => ({ reading: [{ test: 'compression', values }] });

describe('a doubt', () => {
  it('is raised where a decimal was lost, and says what may be meant', () => {
    const [doubt, ...rest] = pageDoubts(compression('12.1 bar', '9,4 bar', '93 bar', '12.2 bar'));
    expect(rest).toEqual([]);
    expect(doubt).toMatchObject({ severity: 'warning', place: { pointer: '/reading/0/values/2' }, mend: 'did you mean 9.3 bar?' });
  });

  it('is not raised by a dead cylinder, a blank, a zero, or mixed units', () => {
    expect(pageDoubts(compression('12 bar', '2 bar', '', '12 bar'))).toEqual([]);
    expect(pageDoubts(compression('12 bar', '0 bar', '12 bar', '12 bar'))).toEqual([]);
    expect(pageDoubts(compression('12 bar', '170 psi', '12 bar', '12 bar'))).toEqual([]);
    expect(pageDoubts({})).toEqual([]);
  });

  it('is raised by one point of a face far beyond the others', () => {
    const face = (last: string) => ({ face: [{ part: 'head', table: `x_mm;y_mm;z_mm\n0;0;0,00\n1;0;0,02\n0;1;0,01\n1;1;${last}\n` }] });
    expect(pageDoubts(face('0,50'))).toMatchObject([{ place: { pointer: '/face/0/table' } }]);
    expect(pageDoubts(face('0,05'))).toEqual([]);
  });

  it('is at rest once confirmed with a reason, until the value is another one', () => {
    const document = compression('12 bar', '12 bar', '1.2 bar', '12 bar');
    const [doubt] = pageDoubts(document);
    const confirmed = applyEdits(document, confirmEdits(document, doubt!, ' valve stuck open '));
    expect(openProblems(confirmed, pageDoubts(confirmed))).toEqual([]);
    expect(JSON.stringify(confirmed)).toContain('valve stuck open');
    const other = applyEdits(confirmed, [{ path: ['reading', 0, 'values', 2], value: '1.1 bar' }]);
    expect(openProblems(other, pageDoubts(other))).toHaveLength(1);
  });

  it('does not confirm an error', () => {
    expect(openProblems({}, [{ what: 'no' }])).toHaveLength(1);
  });
});
