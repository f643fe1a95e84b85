import { describe, expect, it } from 'vitest';
import { readRoute, routeTo, routeToShop } from './route';

describe('an address', () => {
  it('comes back from what it was made of', () => {
    expect(readRoute(routeTo('a b/7', 'checks', 'sign-plug_washed-3'))).toEqual({ screen: 'checks', job: 'a b/7', field: 'sign-plug_washed-3' });
  });

  it('leads to the jobs or to the finding when it says nothing usable', () => {
    for (const hash of ['', '#/', '#/jobs', '#/nonsense/x']) expect(readRoute(hash)).toEqual({ screen: 'jobs' });
    expect(readRoute('#/jobs/7/nonsense')).toEqual({ screen: 'finding', job: '7', field: '' });
    expect(readRoute('#/jobs/%E0%A4%A/finding')).toMatchObject({ screen: 'finding' });
  });

  it('leads to the shop\'s own pages, with what follows', () => {
    expect(readRoute('#/settings')).toEqual({ screen: 'settings', rest: [] });
    expect(readRoute(routeToShop('engines', 'marlow 1/6', 'draw'))).toEqual({ screen: 'engines', rest: ['marlow 1/6', 'draw'] });
  });
});
