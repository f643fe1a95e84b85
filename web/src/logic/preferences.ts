/** What this reader chose for this browser: theme and units. */
import { UNIT_CHOICES } from './units';

export type Theme = 'system' | 'light' | 'dark';
const THEMES: readonly Theme[] = ['system', 'light', 'dark'];

function read(key: string): string {
  try {
    return localStorage.getItem(key) ?? '';
  } catch {
    return '';
  }
}

function write(key: string, value: string): void {
  try {
    localStorage.setItem(key, value);
  } catch {
    // A browser without storage forgets the choice; nothing else depends on it.
  }
}

export function storedTheme(): Theme {
  return THEMES.find((theme) => theme === read('headjoint.theme')) ?? 'system';
}

export function nextTheme(theme: Theme): Theme {
  return THEMES[(THEMES.indexOf(theme) + 1) % THEMES.length] ?? 'system';
}

/** Puts the theme on the page; "system" follows the reader's own setting. */
export function applyTheme(theme: Theme, page: Document, systemIsDark: boolean): void {
  page.documentElement.dataset['theme'] = theme === 'system' ? (systemIsDark ? 'dark' : 'light') : theme;
}

export function keepTheme(theme: Theme): void {
  write('headjoint.theme', theme);
}

export function storedUnits(): string {
  const id = read('headjoint.units');
  return UNIT_CHOICES.some((choice) => choice.id === id) ? id : 'mm-bar';
}

export function keepUnits(id: string): void {
  write('headjoint.units', id);
}
