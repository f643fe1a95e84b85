import { describe, expect, it } from 'vitest';
import { costOf, groupsOf, isLevel, KeptMoves, moveText, namingText, type PracticeCheck, seedOf, spokenMove } from './practice';

const check = (over: Partial<PracticeCheck>): PracticeCheck => ({
  number: 1,
  check: 'leak_down',
  text: '',
  question: '',
  kind: 'reading',
  places: ['1', '2'],
  set_up: 'plugs out',
  set_up_done: false,
  minutes: 8,
  price: 0,
  set_up_minutes: 25,
  cost: 41,
  with_head_off: false,
  status: 'open',
  cannot_see: '',
  cautions: [],
  ...over,
});

describe('practice', () => {
  it('takes a seed that a class can copy, and nothing else', () => {
    expect(seedOf(' 7 ')).toBe(7);
    for (const text of ['', '-1', '7.5', 'seven', '1234567890']) expect(seedOf(text)).toBeUndefined();
  });

  it('knows its levels', () => {
    expect(isLevel('false-alarm')).toBe(true);
    expect(isLevel('hard')).toBe(false);
  });

  it('writes moves as the program reads them', () => {
    expect(moveText('compression', '')).toBe('compression');
    expect(moveText('leak_down', '2')).toBe('leak_down 2');
    expect(namingText([])).toBe('name nothing');
    expect(namingText([{ name: 'joint', where: '2-3' }, { name: 'thermostat', where: '' }])).toBe('name joint 2-3, thermostat');
  });

  it('asks for one place, or for all that are left', () => {
    expect(costOf(check({}), '')).toBe(41);
    expect(costOf(check({}), '2')).toBe(33);
    expect(costOf(check({ status: 'done' }), '')).toBe(0);
  });

  it('puts checks of one set-up together, the head off last', () => {
    const groups = groupsOf([check({ set_up: 'head off', with_head_off: true }), check({}), check({ set_up: '' }), check({ check: 'camera' })]);
    expect(groups.map((group) => [group.setUp, group.checks.length])).toEqual([['', 1], ['plugs out', 2], ['head off', 1]]);
  });

  it('says the last answer in one line', () => {
    const looks = [1, 2].map((n) => ({ check: 'compression', where: String(n), text: 'compression', answer: `${9 + n} bar`, found: false }));
    expect(spokenMove({ move: 'compression', text: 'Compression?', looks, minutes: 45, note: '' })).toBe('Compression?: 1: 10 bar, 2: 11 bar. 45 minutes.');
  });

  it('keeps moves for a reload and forgives a storage that is broken', () => {
    const kept = new Map<string, string>();
    const moves = new KeptMoves({ getItem: (key) => kept.get(key) ?? null, setItem: (key, value) => kept.set(key, value), removeItem: (key) => kept.delete(key) });
    moves.write('one', 7, ['compression']);
    expect(moves.read('one', 7)).toEqual(['compression']);
    expect(moves.read('two', 7)).toEqual([]);
    kept.set('practice one 7', '{broken');
    expect(moves.read('one', 7)).toEqual([]);
  });
});
