import { describe, expect, it } from 'vitest';
import { fieldOf, optionOf, problemText, textsByField } from './problems';

const job = { reading: [{ test: 'compression' }, { test: 'leak_down' }], face: [{ part: 'block', head: 1 }] };
const step = (): 'complaint' => 'complaint';

describe('a place in the document', () => {
  it.each([
    ['/reading/1/values/0', 'checks', 'reading-leak_down-1'],
    ['/reading/0/values', 'checks', 'reading-compression-1'],
    ['/reading/1/values', 'checks', 'reading-leak_down-supply'],
    ['/reading/1/supply', 'checks', 'reading-leak_down-supply'],
    ['/signs/milky_oil', 'complaint', 'sign-milky_oil'],
    ['/signs/plug_washed/3', 'complaint', 'sign-plug_washed-3'],
    ['/face/0/table', 'faces', 'face-block'],
    ['/cut/head', 'machining', 'cut-head'],
  ])('%s leads to its field', (pointer, stepName, field) => {
    expect(fieldOf(pointer, job, step)).toEqual({ step: stepName, field });
  });

  it('leads nowhere where the page has no field', () => {
    for (const pointer of [undefined, '', '/engine/bore', '/reading/7/values/0', '/nonsense']) expect(fieldOf(pointer, job, step)).toBeUndefined();
  });
});

describe('a problem of an operation', () => {
  it('names the option it is about', () => {
    expect(['--gas', '/options/preload', '/engine/bolts', undefined].map(optionOf)).toEqual(['gas', 'preload', '', '']);
  });
});

describe('a problem', () => {
  it('says what is wrong, what is allowed and how to mend it', () => {
    expect(problemText({ what: '"x" is no pressure', allowed: 'bar, psi', mend: 'write "12 bar"' })).toBe('"x" is no pressure. Allowed: bar, psi. To mend it: write "12 bar".');
  });

  it('ends a question with one mark and says names as the screen does', () => {
    expect(problemText({ what: 'leak_down has no `supply`', mend: 'did you mean "75 psi"?' })).toBe('leak-down has no supply. Did you mean "75 psi"?');
  });

  it('does not push another one at the same field aside', () => {
    const texts = textsByField([{ what: 'a', place: { pointer: '/signs/x' } }, { what: 'b', place: { pointer: '/signs/x' } }], job, step);
    expect(texts.get('sign-x')).toBe('a. b.');
  });
});
