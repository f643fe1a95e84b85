/**
 * The lines of a settings document as fields: what stands as `key = value` can be changed in a field, the rest of the text, its
 * comments above all, stays as it is. The server reads the whole; this only finds the lines.
 */

export interface TomlField {
  line: number; /** from 0 */
  section: string; /** "tool 2" for the second [[tool]] */
  key: string;
  text: string; /** as shown: without its quotes */
  kind: 'text' | 'number' | 'truth' | 'other'; /** other: lists and tables, changed in the text only */
  hint: string; /** the comment beside it, else the one above it */
}

const KEY_LINE = /^\s*([A-Za-z0-9_-]+|"[^"]+")\s*=\s*(.*)$/;
const SECTION = /^\s*(\[\[?)\s*([^\]]+?)\s*\]\]?\s*(#.*)?$/;

/** Splits a value from the comment behind it; a # inside quotes is part of the value. */
function valueAndComment(rest: string): { value: string; comment: string } {
  const match = /^("(?:[^"\\]|\\.)*"|'[^']*'|[^#"']*)\s*(?:#\s*(.*))?$/.exec(rest.trim());
  return match ? { value: (match[1] ?? '').trim(), comment: (match[2] ?? '').trim() } : { value: rest.trim(), comment: '' };
}

function kindOf(value: string): TomlField['kind'] {
  if (/^".*"$|^'.*'$/s.test(value) && !/^("""|''')/.test(value)) return 'text';
  if (/^[+-]?[0-9][0-9_]*(\.[0-9_]+)?([eE][+-]?[0-9]+)?$/.test(value)) return 'number';
  return value === 'true' || value === 'false' ? 'truth' : 'other';
}

function shownText(value: string, kind: TomlField['kind']): string {
  if (kind !== 'text') return value;
  if (value.startsWith("'")) return value.slice(1, -1);
  try {
    return JSON.parse(value) as string;
  } catch {
    return value.slice(1, -1);
  }
}

export function tomlFields(text: string): TomlField[] {
  const fields: TomlField[] = [];
  const counts = new Map<string, number>();
  let section = '';
  let above = '';
  text.split('\n').forEach((lineText, line) => {
    const opened = SECTION.exec(lineText);
    if (opened) {
      const name = (opened[2] ?? '').replace(/"/g, '');
      counts.set(name, (counts.get(name) ?? 0) + 1);
      section = opened[1] === '[[' ? `${name} ${counts.get(name) ?? 1}` : name;
      above = '';
      return;
    }
    const found = KEY_LINE.exec(lineText);
    if (!found) {
      const comment = /^\s*#\s?(.*)$/.exec(lineText)?.[1];
      above = comment === undefined ? '' : `${above} ${comment}`.trim();
      return;
    }
    const { value, comment } = valueAndComment(found[2] ?? '');
    const kind = kindOf(value);
    fields.push({ line, section, key: (found[1] ?? '').replace(/"/g, ''), text: shownText(value, kind), kind, hint: comment || above });
    above = '';
  });
  return fields;
}

/** The text with one field changed. A number typed with a comma is written with a point; one that does not read is kept in quotes, and the server says so. */
export function withField(text: string, field: TomlField, typed: string): string {
  const lines = text.split('\n');
  const line = lines[field.line] ?? '';
  const found = KEY_LINE.exec(line);
  if (!found) return text;
  const rest = found[2] ?? '';
  const { value } = valueAndComment(rest);
  const number = typed.trim().replace(',', '.');
  const isNumber = field.kind === 'number' && kindOf(number) === 'number';
  const next = field.kind === 'truth' || isNumber ? number : JSON.stringify(typed.trim());
  const start = line.length - rest.length;
  lines[field.line] = line.slice(0, start) + rest.replace(value, () => next);
  return lines.join('\n');
}

/** A date of the document that has passed: a calibration that is due again. */
export function isOverdue(field: TomlField, today: string): boolean {
  return /due|until|next|expire/.test(field.key) && /^\d{4}-\d{2}-\d{2}$/.test(field.text) && field.text < today;
}

/** An example whose lines are commented out, with its figures put in force: they are there to be overwritten. */
export function exampleInForce(example: string): string {
  return example.replace(/^#\s*(\[\[?[\w. -]+\]\]?\s*|[\w-]+\s*=\s*\S.*)$/gm, '$1');
}

/** The lists of tables, such as [[tool]], that the text has. */
export function repeatedSections(text: string): string[] {
  return [...new Set([...text.matchAll(/^\s*\[\[\s*([^\]]+?)\s*\]\]/gm)].map((found) => found[1] ?? ''))];
}

/** One more of a list of tables, with the keys of the last one and nothing in its texts. */
export function withAnother(text: string, section: string): string {
  const lines = text.replace(/\n+$/, '').split('\n');
  const isHead = (line: string): boolean => SECTION.exec(line)?.[1] === '[[' && SECTION.exec(line)?.[2] === section;
  const start = lines.map(isHead).lastIndexOf(true);
  if (start < 0) return text;
  const length = lines.slice(start + 1).findIndex((line) => SECTION.test(line));
  const end = length < 0 ? lines.length : start + 1 + length;
  const block = lines.slice(start, end).filter((line) => isHead(line) || KEY_LINE.test(line));
  const blank = block.map((line) => line.replace(/=\s*("(?:[^"\\]|\\.)*"|'[^']*')/, '= ""'));
  return [...lines.slice(0, end), '', ...blank, ...lines.slice(end)].join('\n') + '\n';
}
