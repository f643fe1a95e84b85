/** Steps of a job that are fetched when they are first looked at. A screen that is not there yet is no fault. */
import type { Component } from 'svelte';
import type { Api } from '../logic/api';
import type { Edit } from '../logic/document';
import type { JobScreen } from '../logic/route';
import type { SessionView } from '../logic/session';
import type { UnitChoice } from '../logic/units';

export interface StepProps {
  api: Api;
  view: SessionView;
  units: UnitChoice;
  problemAt: (field: string) => string;
  change: (label: string, edits: Edit[]) => void;
}

type Screen = { default: Component<StepProps> };

const FOUND = import.meta.glob<Screen>('./Proof.svelte');
const FILES: Partial<Record<JobScreen, string>> = { proof: './Proof.svelte' };
const fetched = new Map<JobScreen, Promise<Screen>>();

/** The screen of a step, or undefined when it is not one of these or not there. */
export function laterStep(step: JobScreen): Promise<Screen> | undefined {
  const load = FOUND[FILES[step] ?? ''];
  if (!load) return undefined;
  const screen = fetched.get(step) ?? load();
  fetched.set(step, screen);
  return screen;
}

/** A step whose screen is not there is not shown. */
export function hasScreen(step: JobScreen): boolean {
  const file = FILES[step];
  return file === undefined || FOUND[file] !== undefined;
}
