import { describe, expect, it } from 'vitest';
import { consequenceLines, cutEdits, cutKeyOf, cutOptions, cutText, depthToOrder, inOrderOfNeed, limitOf, lineFigure, lineNotes, verdictText } from './cut';
import { applyEdits } from './document';
import type { ConsequenceLine } from './operation_answers';

const line = (more: Partial<ConsequenceLine>): ConsequenceLine => ({ line: 'squish', name: 'squish height', unit: 'mm', before: 1.4, after: 1.1, ...more });

describe('the cut that is ordered', () => {
  it('is kept as typed, with the unit of its field, and taken away when blank', () => {
    const cut = applyEdits({}, cutEdits('head', '0,15', 'mm'));
    expect(cut).toEqual({ cut: { head: '0,15 mm' } });
    expect(cutText(cut, 'head')).toBe('0,15 mm');
    expect(applyEdits(cut, cutEdits('head', '', 'mm'))).toEqual({});
    expect(applyEdits({}, cutEdits('head', '6 thou', 'mm'))).toEqual({ cut: { head: '6 thou' } });
  });

  it('asks for nothing taken off where nothing is typed, and leaves the gasket to the engine file', () => {
    expect(cutOptions({ head: '0.2', deck: '', gasket: '' }, 'mm')).toEqual({ head: '0.2 mm', deck: '0 mm', gasket: '' });
    expect(cutText({ cut: { gasket: { value: '1.30 mm', source: 'maker' } } }, 'gasket')).toBe('1.30 mm');
  });
});

describe('the depth to order', () => {
  it('is the parallel cut with its finish pass, rounded up so that it still cleans up', () => {
    expect(depthToOrder({ least_cut_mm: 0.08, cut_parallel_mm: 0.1012, total_cut_mm: 0.1212, cut_needed: 'yes' })).toBe(0.13);
    expect(depthToOrder({ least_cut_mm: 0.08 })).toBe(0.08);
    expect(depthToOrder({ least_cut_mm: 0.08, cut_needed: 'no' })).toBeUndefined();
    expect(depthToOrder({ least_cut_mm: null })).toBeUndefined();
    expect([cutKeyOf('block'), cutKeyOf('head')]).toEqual(['deck', 'head']);
  });
});

describe('what a cut changes', () => {
  it('stands line by line, also when only the fixed keys are there', () => {
    const lines = consequenceLines({ compression_ratio: { before: 9.85, after: 10.2 }, squish_mm: { before: 1.4, after: null }, valve_gap_mm: {}, lash_change_mm: -0.05 });
    expect(lines.map((one) => one.name)).toEqual(['compression ratio', 'squish height', 'change of lash']);
    expect(consequenceLines({ lines: [line({})], compression_ratio: { before: 1, after: 2 } })).toHaveLength(1);
  });

  it('is written with its unit, in the reader’s unit of length', () => {
    expect(lineFigure(1.1, 'mm', 'mm')).toBe('1.100 mm');
    expect(lineFigure(0.254, 'mm', 'thou')).toBe('10.0 thou');
    expect([lineFigure(2.5, 'deg', 'mm'), lineFigure(700.4, 'degC', 'mm'), lineFigure(10.123, '', 'thou'), lineFigure(null, 'mm', 'mm')]).toEqual(['2.50°', '700 °C', '10.12', '–']);
  });

  it('has its limits rounded to the safe side', () => {
    expect(limitOf(line({ least: 0.9, most: 1.3 }), 'mm')).toBe('at least 0.900 mm, at most 1.300 mm');
    expect(limitOf(line({ least: 1 }), 'thou')).toBe('at least 39.4 thou');
    expect(limitOf(line({ most: 1 }), 'thou')).toBe('at most 39.3 thou');
    expect(limitOf(line({}), 'mm')).toBe('');
  });

  it('says what would restore it, and what it rests on', () => {
    expect(lineNotes(line({ gasket_to_restore_mm: 1.5, missing: ['chamber.volume'], remedies: ['an offset key of 2 deg'] }), 'mm')).toEqual(['a gasket of 1.500 mm would restore it', 'an offset key of 2 deg', 'missing in the engine file: chamber.volume']);
  });

  it('puts what is out of limit first and says it in words', () => {
    const lines = ['ok', 'cannot_say', 'out_of_limit', 'near_limit'].map((verdict) => line({ line: verdict, verdict }));
    expect(inOrderOfNeed(lines).map((one) => one.verdict)).toEqual(['out_of_limit', 'near_limit', 'ok', 'cannot_say']);
    expect(verdictText(line({ verdict: 'out_of_limit' }))).toBe('Out of limit');
  });
});
