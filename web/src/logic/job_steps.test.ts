import { describe, expect, it } from 'vitest';
import type { Assessment } from './contract';
import type { Table } from './document';
import { UNFINISHED } from './face_points';
import { CLAMP_JUDGED, stepLines, TIGHTENED } from './job_steps';

const ALL = ['after-skim', 'clamp', 'tighten'];
const assessed = (advised: boolean, decision = ''): Assessment => ({ repairs: [{ repair: 'open_joint', advised }], faces: decision === '' ? [] : [{ decision }] }) as unknown as Assessment;
const stateOf = (step: string, document: Table, assessment: Assessment | undefined): string => stepLines(document, [], assessment, ALL).find((line) => line.step === step)?.state ?? 'hidden';

describe('the steps of a job', () => {
  it('are those that the program can do', () => {
    expect(stepLines({}, [], undefined, []).map((line) => line.step)).toEqual(['complaint', 'checks', 'finding', 'decision', 'faces', 'papers']);
    expect(stepLines({}, [], undefined, ['clamp']).map((line) => line.step)).toContain('clamp');
  });

  it('behind the decision are not needed while the joint stays shut', () => {
    for (const step of ['faces', 'machining', 'clamp', 'tightening']) {
      expect(stateOf(step, {}, assessed(false))).toBe('not needed');
      expect(stateOf(step, {}, assessed(true))).toBe('open');
      expect(stateOf(step, { head_off: true }, assessed(false))).toBe('open');
    }
  });

  it('count how far a face is measured', () => {
    const face = [{ part: 'head', void: UNFINISHED, table: 'x_mm;y_mm;z_mm\n0;0;0\n1;0;0\n0;1;\n1;1;\n' }];
    expect(stateOf('faces', { face }, assessed(true))).toBe('2 of 4');
    expect(stateOf('faces', { face: [{ part: 'head', table: 'x_mm;y_mm;z_mm\n' }] }, assessed(true))).toBe('done');
  });

  it('need no machining when every face passes, and have it done once a cut is ordered', () => {
    expect(stateOf('machining', { head_off: true }, assessed(true, 'pass'))).toBe('not needed');
    expect(stateOf('machining', { head_off: true }, assessed(true, 'fail'))).toBe('open');
    expect(stateOf('machining', { cut: { head: '0.15 mm' } }, assessed(true, 'fail'))).toBe('done');
  });

  it('are done when that was recorded', () => {
    expect(stateOf('clamp', { decision: [{ what: CLAMP_JUDGED }] }, assessed(true))).toBe('done');
    expect(stateOf('tightening', { decision: [{ what: TIGHTENED }] }, assessed(true))).toBe('done');
    expect(stateOf('decision', { decision: [{ what: TIGHTENED }] }, assessed(true))).toBe('done');
  });
});
