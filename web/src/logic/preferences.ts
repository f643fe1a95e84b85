/** What this reader chose for this browser: colours, size, motion, units and name. */
import { UNIT_CHOICES } from './units';

export type Theme = 'system' | 'light' | 'dark';
export type Size = 'usual' | 'glove';
export type Motion = 'system' | 'still';

export interface Display {
  theme: Theme;
  size: Size;
  motion: Motion;
}

const THEMES: readonly Theme[] = ['system', 'light', 'dark'];
const SIZES: readonly Size[] = ['usual', 'glove'];
const MOTIONS: readonly Motion[] = ['system', 'still'];

function read(key: string): string {
  try {
    return localStorage.getItem(`headjoint.${key}`) ?? '';
  } catch {
    return '';
  }
}

function write(key: string, value: string): void {
  try {
    localStorage.setItem(`headjoint.${key}`, value);
  } catch {
    // A browser without storage forgets the choice; nothing else depends on it.
  }
}

export function storedDisplay(): Display {
  return {
    theme: THEMES.find((one) => one === read('theme')) ?? 'system',
    size: SIZES.find((one) => one === read('size')) ?? 'usual',
    motion: MOTIONS.find((one) => one === read('motion')) ?? 'system',
  };
}

export function keepDisplay(display: Display): void {
  for (const [key, value] of Object.entries(display)) write(key, value as string);
}

/** Puts the choices on the page; "system" follows the reader's own setting. */
export function applyDisplay(display: Display, page: Document, systemIsDark: boolean): void {
  const { dataset } = page.documentElement;
  dataset['theme'] = display.theme === 'system' ? (systemIsDark ? 'dark' : 'light') : display.theme;
  dataset['size'] = display.size;
  dataset['motion'] = display.motion;
}

export function storedUnits(): string {
  const id = read('units');
  return UNIT_CHOICES.some((choice) => choice.id === id) ? id : 'mm-bar';
}

export function keepUnits(id: string): void {
  write('units', id);
}

/** Who works at this browser; it goes with every change. */
export function storedName(): string {
  return read('who').slice(0, 100);
}

export function keepName(name: string): void {
  write('who', name.trim().slice(0, 100));
}
