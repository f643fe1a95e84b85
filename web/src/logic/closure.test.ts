import { describe, expect, it } from 'vitest';
import { figureEdit, findables, foundDropped, foundEdits, foundOf, isClosed, reopened, verifiedEdits, verifiedOf } from './closure';
import type { Finding } from './contract';
import { applyEdits, inversesOf, type Table } from './document';

const open: Table = { format: 1 };

describe('closing a job', () => {
  it('notes what was found, by cause and place', () => {
    let job = applyEdits(open, foundEdits(open, { cause: 'gas_to_neighbour', where: '2-3' }));
    job = applyEdits(job, foundEdits(job, { cause: 'thermostat', where: '' }));
    expect(foundOf(job)).toEqual([{ cause: 'gas_to_neighbour', where: '2-3' }, { cause: 'thermostat', where: '' }]);
    expect(verifiedOf(job)).toBe('not verified');
    job = applyEdits(job, foundDropped({ cause: 'gas_to_neighbour', where: '2-3' }));
    expect(foundOf(job)).toEqual([{ cause: 'thermostat', where: '' }]);
  });

  it('is closed once it says how it was verified, and open again without', () => {
    const closed = applyEdits(open, verifiedEdits('head off', '2026-03-02'));
    expect(isClosed(closed)).toBe(true);
    expect(applyEdits(closed, reopened())).toEqual(open);
    expect(applyEdits(applyEdits(open, verifiedEdits('head off', '2026-03-02')), inversesOf(open, verifiedEdits('head off', '2026-03-02')))).toEqual(open);
  });

  it('takes minutes and money as typed, and no words', () => {
    expect(figureEdit('cost', '820,5')).toEqual({ path: ['closure', 'cost'], value: 820.5 });
    expect(figureEdit('minutes', ' ')).toEqual({ path: ['closure', 'minutes'] });
    expect(figureEdit('minutes', 'long')).toBeUndefined();
    expect(figureEdit('minutes', '-3')).toBeUndefined();
  });

  it('offers the likeliest first', () => {
    const finding = { paths: [{ path: 'gas_to_coolant', where: '2', text: 'gas', probability: 0.4 }], rivals: [{ cause: 'thermostat', text: 'a thermostat', probability: 0.6 }], causes: [] } as unknown as Finding;
    expect(findables(finding).map((one) => one.cause)).toEqual(['thermostat', 'gas_to_coolant']);
    expect(findables(undefined)).toEqual([]);
  });
});
