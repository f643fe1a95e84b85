import { describe, expect, it } from 'vitest';
import { exampleInForce, isOverdue, repeatedSections, tomlFields, withAnother, withField } from './toml_fields';

const TEXT = `# Prices of the shop
format = 1
currency = "crowns"     # as it stands on the bill
# What an hour costs
hour_price = 60
list = ["a", "b"]

[[tool]]
name = "gauge # 1"
due = "2026-01-31"
[[tool]]
name = 'dial'
fitted = true
`;
const field = (key: string, section = '') => tomlFields(TEXT).find((one) => one.key === key && one.section === section)!;

describe('a settings document as fields', () => {
  it('shows each line with its section, its kind and its comment', () => {
    expect(field('currency')).toMatchObject({ text: 'crowns', kind: 'text', hint: 'as it stands on the bill' });
    expect(field('hour_price')).toMatchObject({ text: '60', kind: 'number', hint: 'What an hour costs' });
    expect(field('list').kind).toBe('other');
    expect(field('name', 'tool 1').text).toBe('gauge # 1');
    expect(field('name', 'tool 2').text).toBe('dial');
    expect(field('fitted', 'tool 2').kind).toBe('truth');
  });

  it('changes one value and nothing else of the text', () => {
    expect(withField(TEXT, field('currency'), 'pounds')).toBe(TEXT.replace('"crowns"', '"pounds"'));
    expect(withField(TEXT, field('hour_price'), '62,5')).toBe(TEXT.replace('= 60', '= 62.5'));
    expect(withField(TEXT, field('name', 'tool 2'), 'a "dial" $& \\')).toBe(TEXT.replace("'dial'", () => '"a \\"dial\\" $& \\\\"'));
  });

  it('keeps what is no number in quotes, so that the server can say what is wrong', () => {
    expect(withField(TEXT, field('hour_price'), 'much')).toContain('hour_price = "much"');
  });

  it('tells a calibration that is due', () => {
    expect(isOverdue(field('due', 'tool 1'), '2026-11-25')).toBe(true);
    expect(isOverdue(field('due', 'tool 1'), '2026-01-31')).toBe(false);
    expect(isOverdue(field('name', 'tool 1'), '2026-11-25')).toBe(false);
  });

  it('puts a commented example in force, its sentences left as comments', () => {
    expect(exampleInForce('# A reading names its tool; so.\n# [[tool]]\n# name = "dial"\n')).toBe('# A reading names its tool; so.\n[[tool]]\nname = "dial"\n');
  });

  it('adds one more of a list, blank', () => {
    expect(repeatedSections(TEXT)).toEqual(['tool']);
    const more = withAnother(TEXT, 'tool');
    expect(more.startsWith(TEXT.trimEnd())).toBe(true);
    expect(tomlFields(more).filter((one) => one.section === 'tool 3').map((one) => [one.key, one.text])).toEqual([['name', ''], ['fitted', 'true']]);
  });
});
