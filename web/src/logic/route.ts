/** Addresses inside the page: #/, #/jobs/ID/STEP/FIELD, and the shop's own pages such as #/engines/NAME. */

export const STEPS = ['complaint', 'checks', 'finding', 'decision', 'faces', 'machining', 'clamp', 'tightening', 'proof', 'papers'] as const;
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
  proof: 'Proof',
  papers: 'Papers',
};

/** The operation that a step cannot do without: a program that lacks it does not show the step. */
const NEEDS: Partial<Record<StepName, string>> = { machining: 'after-skim', clamp: 'clamp', tightening: 'tighten', proof: 'proof' };

export function isOffered(step: StepName, operations: readonly string[]): boolean {
  const needed = NEEDS[step];
  return needed === undefined || operations.includes(needed);
}

/** Pages of the shop as a whole, beside the jobs. */
export const SHOP_PAGES = ['engines', 'practice', 'shop-record', 'settings'] as const;
export type ShopPage = (typeof SHOP_PAGES)[number];

export const SHOP_TITLES: Record<ShopPage, string> = { engines: 'Engines', practice: 'Practice', 'shop-record': 'Shop record', settings: 'Settings' };

/** What a job shows: one of its steps, or its history. */
export type JobScreen = StepName | 'history';
export const SCREEN_TITLES: Record<JobScreen, string> = { ...STEP_TITLES, history: 'History' };

export interface JobRoute {
  screen: JobScreen;
  job: string;
  field: string;
}

export interface ShopRoute {
  screen: ShopPage;
  rest: string[]; /** what follows in the address */
}

export type Route = { screen: 'jobs' } | JobRoute | ShopRoute;

export function isJobRoute(route: Route): route is JobRoute {
  return 'job' in route;
}

export function isShopRoute(route: Route): route is ShopRoute {
  return 'rest' in route;
}

function isShopPage(word: string | undefined): word is ShopPage {
  return SHOP_PAGES.some((page) => page === word);
}

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
  if (isShopPage(first)) return { screen: first, rest: hash.split('/').slice(2).map(plain).filter((part) => part !== '') };
  if (first !== 'jobs' || !job) return { screen: 'jobs' };
  return { screen: isStep(step) || step === 'history' ? step : 'finding', job: plain(job), field: plain(field) };
}

export function routeTo(job: string, step: JobScreen, field = ''): string {
  const base = `#/jobs/${encodeURIComponent(job)}/${step}`;
  return field === '' ? base : `${base}/${encodeURIComponent(field)}`;
}

export function routeToShop(page: ShopPage, ...rest: string[]): string {
  return `#/${[page, ...rest.map(encodeURIComponent)].join('/')}`;
}
