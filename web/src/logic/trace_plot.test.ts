import { describe, expect, it } from 'vitest';
import { marksOf, stepped } from './trace_plot';

describe('the stretch that is shown next', () => {
  const whole = { from_s: 0, to_s: 100 };

  it('gets closer round the middle, and back', () => {
    expect(stepped(whole, 'closer', 100)).toEqual({ from_s: 25, to_s: 75 });
    expect(stepped({ from_s: 25, to_s: 75 }, 'wider', 100)).toEqual(whole);
    expect(stepped({ from_s: 25, to_s: 75 }, 'all', 100)).toEqual(whole);
  });

  it('moves by half of what is shown and never beyond the ends', () => {
    expect(stepped({ from_s: 20, to_s: 40 }, 'later', 100)).toEqual({ from_s: 30, to_s: 50 });
    expect(stepped({ from_s: 5, to_s: 25 }, 'earlier', 100)).toEqual({ from_s: 0, to_s: 20 });
    expect(stepped({ from_s: 90, to_s: 100 }, 'wider', 100)).toEqual({ from_s: 80, to_s: 100 });
    expect(stepped(whole, 'later', 100)).toEqual(whole);
  });

  it('does not shrink to nothing', () => {
    let shown = { from_s: 0, to_s: 100 };
    for (let i = 0; i < 100; ++i) shown = stepped(shown, 'closer', 100);
    expect(shown.to_s).toBeGreaterThan(shown.from_s);
  });
});

describe('marks on the drawing', () => {
  const marks = Array.from({ length: 200 }, (_, i) => ({ time_s: i, text: String((i % 4) + 1), isStrong: i % 4 === 2 }));

  it('are named while there is room, then bare, then only the strong ones', () => {
    expect(marksOf(marks, 0, 9, 600).map((mark) => mark.text)).toEqual(['1', '2', '3', '4', '1', '2', '3', '4', '1', '2']);
    expect(marksOf(marks, 0, 99, 600).every((mark) => mark.text === '')).toBe(true);
    const few = marksOf(marks, 0, 199, 300);
    expect(few).toHaveLength(50);
    expect(few.every((mark) => mark.isStrong)).toBe(true);
  });
});
