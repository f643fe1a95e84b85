/** Papers beside record, owner's sheet and machine-shop order: offered when this program prints them. */
import type { SessionView } from './session';

export interface PaperLink {
  title: string;
  about: string;
  address: string;
}

const FURTHER = [
  { file: 'plan.html', path: 'repair-plan', title: 'The plan of the repair', about: 'Causes to cure, parts, order of work with a box for each step and its caution before it, filling, first heat.' },
  { file: 'measuring.html', path: 'measuring-sheets', title: 'Measuring sheets', about: 'Blank sheets for the bay: tests, strip-down on the joint plan, faces, and readings after the repair beside what is expected.' },
  { file: 'warranty.html', path: 'warranty-record', title: 'The warranty record', about: 'What was done and fitted, what was read afterwards with its limits, and what is promised.' },
] as const;

export function furtherPapers(view: Pick<SessionView, 'id' | 'assessment'>): PaperLink[] {
  const written = view.assessment?.papers ?? [];
  return FURTHER.filter(({ file }) => written.includes(file)).map(({ path, title, about }) => ({ title, about, address: `/api/v1/jobs/${encodeURIComponent(view.id)}/${path}` }));
}
