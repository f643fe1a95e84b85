/** Addresses inside the page: #/ and #/jobs/ID/STEP/FIELD. */

export const STEPS = ['complaint', 'checks', 'finding', 'decision', 'faces', 'papers'] as const;
export type StepName = (typeof STEPS)[number];

export const STEP_TITLES: Record<StepName, string> = {
  complaint: 'Complaint',
  checks: 'Checks',
  finding: 'Finding',
  decision: 'Decision',
  faces: 'Faces',
  papers: 'Papers',
};

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
