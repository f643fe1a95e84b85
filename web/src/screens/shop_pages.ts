/** The shop's own pages, fetched when they are first opened. A page that is not there yet is left out of the navigation. */
import type { Component } from 'svelte';
import type { Api } from '../logic/api';
import { SHOP_PAGES, type ShopPage } from '../logic/route';
import type { UnitChoice } from '../logic/units';

export interface ShopProps {
  api: Api;
  units: UnitChoice;
  rest: string[]; /** what follows in the address: #/engines/NAME is ['NAME'] */
}

type Screen = { default: Component<ShopProps> };

const FOUND = import.meta.glob<Screen>(['./Engines.svelte', './Practice.svelte', './ShopRecord.svelte', './Settings.svelte']);
const FILES: Record<ShopPage, string> = { engines: './Engines.svelte', practice: './Practice.svelte', 'shop-record': './ShopRecord.svelte', settings: './Settings.svelte' };
const fetched = new Map<ShopPage, Promise<Screen>>();

export const OFFERED: readonly ShopPage[] = SHOP_PAGES.filter((page) => FOUND[FILES[page]] !== undefined);

export function shopScreen(page: ShopPage): Promise<Screen> | undefined {
  const load = FOUND[FILES[page]];
  if (!load) return undefined;
  const screen = fetched.get(page) ?? load();
  fetched.set(page, screen);
  return screen;
}
