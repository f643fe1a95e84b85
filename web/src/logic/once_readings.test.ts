import { describe, expect, it } from 'vitest';
import { applyEdits, type Table } from './document';
import { ONCE_TESTS, onceEdits, onceFieldLacking, onceState, onceText } from './once_readings';
import { fieldOf } from './problems';

const hold = ONCE_TESTS['pressure_hold']!;
const gas = ONCE_TESTS['gas_reading']!;
const torques = ONCE_TESTS['release_torque']!;
const put = (job: Table, once: typeof hold, key: string, typed: string, unit: string): Table => applyEdits(job, onceEdits(job, once, key, typed, unit));

describe('a reading taken once', () => {
  it('is kept as typed with its unit, and says how far it is', () => {
    const begun = put({}, hold, 'start', '1,0', 'bar');
    expect(begun).toEqual({ reading: [{ test: 'pressure_hold', start: '1,0 bar' }] });
    expect(onceState(begun, hold)).toBe('1 of 3 typed');
    const whole = put(put(begun, hold, 'end', '0.9', 'bar'), hold, 'duration', '10', 'min');
    expect(onceState(whole, hold)).toBe('taken');
    expect(onceText(whole, 'pressure_hold', 'duration')).toBe('10 min');
  });

  it('goes with its last figure', () => {
    const begun = put({}, hold, 'start', '1.0', 'bar');
    expect(put(put(begun, hold, 'end', '0.9', 'bar'), hold, 'start', '', 'bar')).toEqual({ reading: [{ test: 'pressure_hold', end: '0.9 bar' }] });
    expect(put(begun, hold, 'start', '', 'bar')).toEqual({ reading: [] });
  });

  it('may be a bare number, or a list by bolt', () => {
    expect(put({}, gas, 'hydrocarbons_ppm', '120', '')).toEqual({ reading: [{ test: 'gas_in_coolant', hydrocarbons_ppm: 120 }] });
    const list = put({}, torques, 'torques', '85; 80 ; 40 lbf.ft;', 'N.m');
    expect(list).toEqual({ reading: [{ test: 'release_torque', torques: ['85 N.m', '80 N.m', '40 lbf.ft'] }] });
    expect(onceText(list, 'release_torque', 'torques')).toBe('85 N.m; 80 N.m; 40 lbf.ft');
    expect(onceState(put({}, gas, 'carbon_dioxide', '0.4', '%'), gas)).toBe('taken');
  });

  it('leads a problem with the whole of it to the first figure that lacks', () => {
    const begun = put({}, hold, 'start', '1.0', 'bar');
    expect(onceFieldLacking(begun, 'pressure_hold')).toBe('reading-pressure_hold-end');
    expect(onceFieldLacking({}, 'compression')).toBeUndefined();
    expect(fieldOf('/reading/0', begun, () => 'checks')).toEqual({ step: 'checks', field: 'reading-pressure_hold-end' });
  });
});
