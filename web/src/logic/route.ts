/** Addresses inside the page: #/ and #/jobs/ID/STEP/FIELD. */

export const STEPS = ['complaint', 'checks', 'finding', 'decision', 'faces', 'machining', 'clamp', 'tightening', 'papers'] as const;
export type StepName = (typeof STEPS)[number];

export const STEP_TITLES: Record<StepName, string> = {
  complaint: 'Complaint',
  checks: 'Checks',
  finding: 'Finding',
  decision: 'Decision',
  faces: 'Faces',
  machining: 'Machining',
  clamp: 'Clamp',
  tightening: 'Tightening',
  papers: 'Papers',
};

/** The operation that a step cannot do without: a program that lacks it does not show the step. */
const NEEDS: Partial<Record<StepName, string>> = { machining: 'after-skim', clamp: 'clamp', tightening: 'tighten' };

export function isOffered(step: StepName, operations: readonly string[]): boolean {
  const needed = NEEDS[step];
  return needed === undefined || operations.includes(needed);
}

export type Route = { screen: 'jobs' } | { screen: StepName; job: string; field: string };

function isStep(word: string | undefined): word is StepName {
  return STEPS.some((step) => step === word);
}

function plain(part: string | undefined): string {
  try {
    return decodeURIComponent(part ?? '');
  } catch {
    return part ?? '';
  }
}

export function readRoute(hash: string): Route {
  const [first, job, step, field] = hash.replace(/^#?\/?/, '').split('/');
  if (first !== 'jobs' || !job) return { screen: 'jobs' };
  return { screen: isStep(step) ? step : 'finding', job: plain(job), field: plain(field) };
}

export function routeTo(job: string, step: StepName, field = ''): string {
  const base = `#/jobs/${encodeURIComponent(job)}/${step}`;
  return field === '' ? base : `${base}/${encodeURIComponent(field)}`;
}
