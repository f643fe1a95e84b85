import { describe, expect, it } from 'vitest';
import { applyEdit, applyEdits, type Edit, inversesOf, type Table, valueAt } from './document';

const job: Table = { format: 1, signs: { runs_hot: 'seen', plug_washed: { '2': 'absent' } }, reading: [{ test: 'compression', values: ['12.1 bar', '', '9.3 bar'] }] };

describe('an edit', () => {
  it('leaves the document it was made from as it was', () => {
    const before = JSON.stringify(job);
    applyEdit(job, { path: ['signs', 'plug_washed', '3'], value: 'seen' });
    expect(JSON.stringify(job)).toBe(before);
  });

  it('makes the tables and lists on its way', () => {
    const after = applyEdit({}, { path: ['reading', { match: { test: 'leak_down' } }, 'values', 2], value: '60 psi' });
    expect(after).toEqual({ reading: [{ test: 'leak_down', values: ['', '', '60 psi'] }] });
  });

  it('finds an element by its keys wherever it stands in the list', () => {
    const moved: Table = { reading: [{ test: 'leak_down' }, { test: 'compression', values: ['1 bar'] }] };
    const after = applyEdit(moved, { path: ['reading', { match: { test: 'compression' } }, 'values', 0], value: '2 bar' });
    expect(valueAt(after, ['reading', 1, 'values', 0])).toBe('2 bar');
  });

  it('without a value takes the entry away, and the table it emptied', () => {
    expect(applyEdit(job, { path: ['signs', 'plug_washed', '2'] })['signs']).toEqual({ runs_hot: 'seen' });
    expect(applyEdit({ signs: { runs_hot: 'seen' } }, { path: ['signs', 'runs_hot'] })).toEqual({});
  });

  it('without a value leaves the other cylinders where they are', () => {
    const after = applyEdit(job, { path: ['reading', { match: { test: 'compression' } }, 'values', 0] });
    expect(valueAt(after, ['reading', 0, 'values'])).toEqual(['', '', '9.3 bar']);
  });

  it('replaces one answer for the engine by answers for places', () => {
    const after = applyEdit({ signs: { misfire: 'seen' } }, { path: ['signs', 'misfire', '1'], value: 'seen' });
    expect(after).toEqual({ signs: { misfire: { '1': 'seen' } } });
  });
});

describe('the inverse of edits', () => {
  const cases: { name: string; edits: Edit[] }[] = [
    { name: 'a new sign', edits: [{ path: ['signs', 'milky_oil'], value: 'seen' }] },
    { name: 'a sign in a table that is not there yet', edits: [{ path: ['signs', 'camera', '1'], value: 'seen' }] },
    { name: 'a changed sign', edits: [{ path: ['signs', 'runs_hot'], value: 'absent' }] },
    { name: 'a sign taken away', edits: [{ path: ['signs', 'plug_washed', '2'] }] },
    { name: 'a reading changed', edits: [{ path: ['reading', { match: { test: 'compression' } }, 'values', 1], value: '11 bar' }] },
    { name: 'a reading begun', edits: [{ path: ['reading', { match: { test: 'leak_down' } }, 'values'], value: ['', ''] }, { path: ['reading', { match: { test: 'leak_down' } }, 'values', 1], value: '60 psi' }] },
    { name: 'one answer split into places', edits: [{ path: ['signs', 'runs_hot', '1'], value: 'seen' }] },
    { name: 'the same place twice', edits: [{ path: ['signs', 'x'], value: 'seen' }, { path: ['signs', 'x'], value: 'absent' }] },
  ];
  it.each(cases)('brings the document back: $name', ({ edits }) => {
    expect(applyEdits(applyEdits(job, edits), inversesOf(job, edits))).toEqual(job);
  });
});
