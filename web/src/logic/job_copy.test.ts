import { describe, expect, it } from 'vitest';
import { copyName, copyText, readCopy } from './job_copy';

const job = { format: 1, number: '0117', title: 'Runs on two cylinders / after a climb', engine: { name: 'e' } };

describe('a copy of a job', () => {
  it('reads back to the same job', () => {
    expect(readCopy(copyText(job))).toEqual(job);
  });

  it('has a name that any file system takes', () => {
    expect(copyName(job)).toBe('0117-runs-on-two-cylinders-after.json');
    expect(copyName({})).toBe('job.json');
  });

  it('is refused in words when it is something else', () => {
    for (const text of ['format = 1', '[]', '{}', '{"engine": "engine.toml"}']) expect(typeof readCopy(text)).toBe('string');
  });
});
