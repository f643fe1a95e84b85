import { describe, expect, it } from 'vitest';
import { newJobProblems } from './new_job';

const good = { number: '', title: 'runs hot', cylinders: '4', layout: 'inline', fuel: 'petrol' };

describe('a new job', () => {
  it('needs a complaint and a number of cylinders', () => {
    expect(newJobProblems(good)).toEqual([]);
    expect(newJobProblems({ ...good, title: ' ', cylinders: '' }).map((problem) => problem.field)).toEqual(['new-title', 'new-cylinders']);
    for (const cylinders of ['0', '17', '4.5', 'four', '-1']) expect(newJobProblems({ ...good, cylinders })).toHaveLength(1);
    expect(newJobProblems({ ...good, layout: 'single' })).toHaveLength(1);
  });
});
