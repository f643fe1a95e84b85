import { describe, expect, it } from 'vitest';
import { figureText, forbidden, hourPriceEdits, hourPriceText, type OptionLine, possible, scaleEnd, turnText, withHourPrice } from './repair_options';

const line = (option: string, expected_cost: number, state: OptionLine['state'] = 'possible', high = 2 * expected_cost): OptionLine => ({
  option,
  text: option,
  state,
  expected_cost,
  low: expected_cost / 2,
  high,
  second_failure: 0.1,
  engine_lost: 0,
  items: [],
  drivers: [],
  note: '',
});

describe('the table of options', () => {
  it('puts the cheapest repair first and a way home after the repairs, however cheap', () => {
    const list = [line('gasket', 10), line('stop-leak', 1, 'way home'), line('engine', 90), line('re-tighten', 0.5, 'forbidden'), line('service', 8, 'chosen')];
    expect(possible(list).map((one) => one.option)).toEqual(['service', 'gasket', 'engine', 'stop-leak']);
    expect(forbidden(list).map((one) => one.option)).toEqual(['re-tighten']);
  });

  it('keeps the cheapest visible beside a dear one', () => {
    expect(scaleEnd([line('a', 10), line('b', 20)])).toBe(40);
    expect(scaleEnd([line('a', 1), line('b', 1000)])).toBe(25);
    expect(scaleEnd([])).toBeGreaterThan(0);
  });
});

describe('figures that turn the choice', () => {
  it('shows a chance in per cent and a price with its unit', () => {
    expect(figureText(0.125, '')).toBe('13 %');
    expect(figureText(0.031, '')).toBe('3.1 %');
    expect(figureText(684, 'crowns')).toBe('684 crowns');
    expect(turnText({ figure: 'chance', unit: '', now: 0.2, at: 0.5, then: '', then_text: '' })).toBe('chance: 20 % now; from 50 %');
    expect(turnText({ figure: 'price', unit: 'h', now: 4, at: 1.5, then: '', then_text: '' })).toBe('price: 4.0 h now; below 1.5 h');
  });
});

describe('the price of the hour', () => {
  const job = { workshop: { hour_price: 60, currency: 'crowns' } };

  it('is tried without touching the job', () => {
    expect(withHourPrice(job, 80)).toEqual({ workshop: { hour_price: 80, currency: 'crowns' } });
    expect(withHourPrice(job, undefined)).toEqual({ workshop: { currency: 'crowns' } });
    expect(withHourPrice({}, 50)).toEqual({ workshop: { hour_price: 50 } });
    expect(hourPriceText(job)).toBe('60');
    expect(hourPriceText({})).toBe('');
  });

  it('is kept as a number, and blank takes it away', () => {
    expect(hourPriceEdits('75')).toEqual([{ path: ['workshop', 'hour_price'], value: 75 }]);
    expect(hourPriceEdits('72,5')).toEqual([{ path: ['workshop', 'hour_price'], value: 72.5 }]);
    expect(hourPriceEdits('cheap')).toEqual([{ path: ['workshop', 'hour_price'], value: 'cheap' }]);
    expect(hourPriceEdits(' ')).toEqual([{ path: ['workshop', 'hour_price'] }]);
  });
});
