// @vitest-environment happy-dom
import { beforeEach, describe, expect, it } from 'vitest';
import { BrowserUnsavedStore, type UnsavedRecord } from './unsaved';

const record: UnsavedRecord = { revision: 3, document: { number: '7' }, changes: [{ label: 'a', edits: [{ path: ['signs', 'a'], value: 'seen' }] }], undo: [] };

describe('changes kept in the browser', () => {
  beforeEach(() => localStorage.clear());

  it('come back as they were, job by job', () => {
    const store = new BrowserUnsavedStore(localStorage);
    expect(store.keep('j1', record)).toBe(true);
    expect(new BrowserUnsavedStore(localStorage).get('j1')).toEqual(record);
    expect(store.get('j2')).toBeUndefined();
    expect(store.ids()).toEqual(['j1']);
    store.drop('j1');
    expect(store.ids()).toEqual([]);
  });

  it('are said not to be kept when the browser has no room', () => {
    const full = { setItem: () => { throw new Error('full'); }, getItem: () => 'not json', removeItem: () => undefined } as unknown as Storage;
    const store = new BrowserUnsavedStore(full);
    expect(store.keep('j1', record)).toBe(false);
    expect(store.get('j1')).toBeUndefined();
  });
});
