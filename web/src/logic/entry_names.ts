/** A place in the job's document as it is said: "/reading/0/values/2" is "leak-down, cylinder 3". */
import { type Table, textAt } from './document';
import { capital } from './wording';

const plain = (word: string): string => word.replace(/_/g, ' ').replace(/^leak down$/, 'leak-down');

export function entryName(pointer: string, document: Table): string {
  const parts = pointer
    .split('/')
    .slice(1)
    .map((part) => part.replace(/~1/g, '/').replace(/~0/g, '~'));
  const [head, index, ...rest] = parts;
  if (head === 'reading' && index !== undefined) {
    const test = plain(textAt(document, ['reading', Number(index), 'test']) || 'reading');
    const [key, place] = rest;
    if (key === 'values' && place !== undefined) return capital(`${test}, cylinder ${Number(place) + 1}`);
    return capital(key === undefined ? test : `${test}, ${rest.map(plain).join(' ')}`);
  }
  if (head === 'face' && index !== undefined) return capital(`${textAt(document, ['face', Number(index), 'part']) || 'a'} face${rest.length === 0 ? '' : `, ${rest.map(plain).join(' ')}`}`);
  if (head === 'signs' && index !== undefined) return capital([plain(index), ...rest.map(plain)].join(', '));
  return capital(parts.map(plain).join(', ')) || 'The whole job';
}
