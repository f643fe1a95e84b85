import { describe, expect, it } from 'vitest';
import { applyEdit, type Edit, type Table } from './document';
import { addSeen, boltEdits, boltLengths, dropSeen, placesOf, seenOf, seenText } from './strip_down';

const put = (document: Table, edits: Edit[]): Table => edits.reduce(applyEdit, document);

describe('what was seen', () => {
  it('is kept in order and can be taken back', () => {
    const one = put({}, addSeen({}, { part: 'gasket', where: '2-3', kind: 'burnt_track', note: '' }));
    const two = put(one, addSeen(one, { part: 'piston', where: '3', kind: 'washed', note: 'clean' }));
    expect(seenOf(two).map(seenText)).toEqual(['gasket: burnt track, between 2 and 3', 'piston: washed, cylinder 3; clean']);
    expect(one['seen']).toEqual([{ part: 'gasket', where: '2-3', kind: 'burnt_track' }]);
    expect(seenOf(put(two, dropSeen(two, 0)))).toHaveLength(1);
  });
  it('knows the places of the engine', () => {
    const engine: Table = { engine: { engine: { cylinders: 2 }, bolts: { at: [[0, 0]] }, passage: [{ number: 4, kind: 'oil_drain' }] } };
    expect(placesOf(engine, ['1-2']).map((place) => place.value)).toEqual(['', '1', '2', '1-2', 'bolt 1', 'passage 4']);
  });
});

describe('bolts', () => {
  it('leave a blank where none was measured', () => {
    const engine: Table = { engine: { bolts: { at: [[0, 0], [1, 0], [2, 0]] } } };
    const next = put(engine, boltEdits(engine, 1, '142.1 mm'));
    expect(boltLengths(next)).toEqual(['', '142.1 mm', '']);
    expect(put(next, boltEdits(next, 1, ''))['strip_down']).toBeUndefined();
  });
});
