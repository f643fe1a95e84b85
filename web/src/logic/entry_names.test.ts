import { describe, expect, it } from 'vitest';
import { entryName } from './entry_names';

const document = { reading: [{ test: 'leak_down', values: ['', ''] }], face: [{ part: 'head' }] };

describe('a place in the job', () => {
  it('is said in the words of the screens', () => {
    expect(entryName('/reading/0/values/1', document)).toBe('Leak-down, cylinder 2');
    expect(entryName('/reading/0/supply', document)).toBe('Leak-down, supply');
    expect(entryName('/signs/plug_washed/3', document)).toBe('Plug washed, 3');
    expect(entryName('/face/0/table', document)).toBe('Head face, table');
    expect(entryName('/cut/head', document)).toBe('Cut, head');
    expect(entryName('', document)).toBe('The whole job');
  });
});
