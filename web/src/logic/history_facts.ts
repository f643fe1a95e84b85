/** What may be known about the engine's past: the words of [history] facts in the job file, and how the page asks for them. */
import { type Edit, type Table, valueAt } from './document';

export const HISTORY_FACTS: readonly { word: string; text: string }[] = [
  { word: 'overheated_before', text: 'Overheated before' },
  { word: 'recent_head_work', text: 'Head was off or retightened lately' },
  { word: 'recent_cooling_work', text: 'Cooling system was worked on lately' },
  { word: 'stop_leak_used', text: 'Stop-leak is or was in the system' },
  { word: 'old_coolant', text: 'Coolant old, or plain water' },
  { word: 'frost', text: 'Stood in frost without antifreeze' },
  { word: 'years_standing', text: 'Stood for years' },
  { word: 'high_mileage', text: 'High mileage or many hours' },
  { word: 'boosted', text: 'Boost or power was raised' },
  { word: 'raw_water', text: 'Cooled by raw water' },
  { word: 'short_trips', text: 'Short trips only' },
  { word: 'winter', text: 'Cold season' },
];

const PATH = ['history', 'facts'] as const;

export function knownFacts(document: Table): string[] {
  const facts = valueAt(document, PATH);
  return Array.isArray(facts) ? facts.filter((fact): fact is string => typeof fact === 'string') : [];
}

export function factEdit(document: Table, word: string, isKnown: boolean): Edit {
  const others = knownFacts(document).filter((fact) => fact !== word);
  const facts = isKnown ? [...others, word] : others;
  return facts.length === 0 ? { path: PATH } : { path: PATH, value: facts };
}
