import { describe, expect, it } from 'vitest';
import { divide, entryText } from './conflict';
import { applyEdits } from './document';

const base = { signs: { milky_oil: 'absent' }, reading: [{ test: 'compression', values: ['12 bar', '', '', ''] }] };
const at = (index: number) => ['reading', { match: { test: 'compression' } }, 'values', index];

describe('two people on one job', () => {
  it('lose nothing when they changed different entries', () => {
    const theirs = { ...base, signs: { milky_oil: 'absent', runs_hot: 'seen' } };
    const mine = [{ label: 'oil', edits: [{ path: ['signs', 'milky_oil'], value: 'seen' }] }];
    const { changes, conflicts } = divide(base, theirs, mine);
    expect(conflicts).toEqual([]);
    expect(applyEdits(theirs, changes.flatMap((change) => change.edits)).signs).toEqual({ milky_oil: 'seen', runs_hot: 'seen' });
  });

  it('must choose where both changed the same entry, and are shown both values', () => {
    const theirs = { ...base, signs: { milky_oil: 'seen' } };
    const mine = [{ label: 'oil', edits: [{ path: ['signs', 'milky_oil'] }] }];
    expect(divide(base, theirs, mine)).toEqual({ changes: [], conflicts: [{ label: 'oil', path: ['signs', 'milky_oil'], mine: undefined, theirs: 'seen' }] });
  });

  it('need not choose when both wrote the same', () => {
    const theirs = { ...base, signs: { milky_oil: 'seen' } };
    expect(divide(base, theirs, [{ label: 'oil', edits: [{ path: ['signs', 'milky_oil'], value: 'seen' }] }])).toEqual({ changes: [], conflicts: [] });
  });

  it('fill one list of readings together: a blank of one does not wipe the figure of the other', () => {
    const theirs = { ...base, reading: [{ test: 'leak_down', values: ['70 psi', '', '', ''] }] };
    const path = ['reading', { match: { test: 'leak_down' } }, 'values'];
    const mine = [{ label: 'leak-down 2', edits: [{ path, value: ['', '', '', ''] }, { path: [...path, 1], value: '41 psi' }] }];
    const { changes, conflicts } = divide(base, theirs, mine);
    expect(conflicts).toEqual([]);
    expect(applyEdits(theirs, changes.flatMap((change) => change.edits)).reading).toEqual([{ test: 'leak_down', values: ['70 psi', '41 psi', '', ''] }]);
  });

  it('are asked once about an entry that was changed several times, with its last value', () => {
    const theirs = { ...base, reading: [{ test: 'compression', values: ['11 bar', '', '', ''] }] };
    const mine = ['12.1 bar', '12.2 bar'].map((value) => ({ label: 'cylinder 1', edits: [{ path: at(0), value }] }));
    expect(divide(base, theirs, mine).conflicts).toEqual([{ label: 'cylinder 1', path: at(0), mine: '12.2 bar', theirs: '11 bar' }]);
  });
});

describe('an entry in words', () => {
  it('says blank for nothing and shortens what is long', () => {
    expect(entryText(undefined)).toBe('blank');
    expect(entryText({ state: 'seen', note: 'x' })).toBe('seen');
    expect(entryText(['12 bar', ''])).toBe('12 bar; blank');
    expect(entryText('x'.repeat(500)).length).toBeLessThan(130);
  });
});
