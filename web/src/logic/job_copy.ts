/** A job document as a file: the same JSON that the command line reads. */
import { isTable, type Json, type Table, textAt } from './document';

export function copyName(document: Table): string {
  const words = `${textAt(document, ['number'])} ${textAt(document, ['title'])}`.toLowerCase().match(/[a-z0-9]+/g) ?? [];
  return `${words.slice(0, 6).join('-') || 'job'}.json`;
}

export function copyText(document: Table): string {
  return `${JSON.stringify(document, null, 2)}\n`;
}

/** The document in a file's text, or what is wrong with it. Whether it reads as a job the server says. */
export function readCopy(text: string): Table | string {
  let value: Json;
  try {
    value = JSON.parse(text) as Json;
  } catch {
    return 'This file is not JSON. The page opens copies that it saved itself.';
  }
  if (!isTable(value) || !isTable(value['engine'])) return 'This file is no job with its engine inside.';
  return value;
}
