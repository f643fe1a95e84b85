// What the page costs a mechanic's patience, over loopback and with a cold cache: its size, the first view of the jobs and of one
// job, how soon a tap shows, how soon the finding follows a sign, how soon a search is answered.
// Yardstick of the same run: an empty page of the same browser.
// usage: node bench/page_bench.mjs   (HEADJOINT as in tests/browser; JOBS=10000 jobs for the search, 300 when not given)
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';
import { demoJob, goTo, launchBrowser, Workbench } from '../tests/browser/workbench.mjs';

const ROUNDS = 11;
const JOBS = Number(process.env.JOBS ?? 300);
const dist = join(dirname(fileURLToPath(import.meta.url)), '../web/dist/assets');
const sorted = (numbers) => [...numbers].sort((a, b) => a - b);
const median = (numbers) => sorted(numbers)[Math.floor(numbers.length / 2)];
const lines = [];

function say(what, numbers, goal) {
  const line = `${what.padEnd(44)} ${median(numbers).toFixed(0).padStart(5)} ms, worst ${sorted(numbers).at(-1).toFixed(0)} ms${goal === undefined ? '' : `   goal ${goal} ms`}`;
  lines.push(line);
}

async function shownAfter(browser, url, selector) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 } });
  const page = await context.newPage();
  const start = performance.now();
  await page.goto(url, { waitUntil: 'commit' });
  await page.locator(selector).first().waitFor();
  const elapsed = performance.now() - start;
  await context.close();
  return elapsed;
}

async function repeated(rounds, what) {
  const times = [];
  for (let round = 0; round < rounds; ++round) times.push(await what(round));
  return times;
}

/** In the page: presses an answer and waits until it is painted, and until the finding has followed. */
async function tapped([field, state]) {
  const answer = document.querySelector(`#sign-${field} input[value="${state}"]`);
  const frame = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
  const before = document.querySelector('.title-finding span').textContent + document.querySelector('.say').textContent;
  const start = performance.now();
  answer.click();
  await frame();
  const painted = answer.checked && answer.closest('.choice').classList.contains('is-chosen') ? performance.now() - start : NaN;
  while (document.querySelector('.title-finding span').textContent + document.querySelector('.say').textContent === before && performance.now() - start < 10_000) await new Promise((done) => setTimeout(done, 2));
  return { painted, followed: performance.now() - start };
}

const sizes = readdirSync(dist).filter((name) => /\.(js|css)$/.test(name)).map((name) => gzipSync(readFileSync(join(dist, name)), { level: 9 }).length);
const bench = new Workbench();
await bench.start();
const browser = await launchBrowser();
const job = await demoJob(bench, '0117');
say('yardstick: an empty page', await repeated(ROUNDS, () => shownAfter(browser, 'data:text/html,<p>empty', 'p')));
say('list of jobs shown', await repeated(ROUNDS, () => shownAfter(browser, bench.url, 'a[href*="jobs/"]')), 300);
say('a job shown, its heading and steps', await repeated(ROUNDS, () => shownAfter(browser, `${bench.url}#/jobs/${job}/finding`, '.steps a')), 300);
say('a job shown with its finding and plan', await repeated(ROUNDS, () => shownAfter(browser, `${bench.url}#/jobs/${job}/finding`, '.plan svg')));

const context = await browser.newContext({ viewport: { width: 1280, height: 900 } });
const page = await context.newPage();
const fresh = await bench.newJob();
await goTo(page, bench.url, fresh, 'complaint');
const taps = await repeated(ROUNDS * 2, async (round) => {
  const result = await page.evaluate(tapped, ['milky_oil', round % 2 === 0 ? 'seen' : 'absent']);
  await page.waitForTimeout(1100 - (Date.now() % 1000)); // the clock of the finding shows seconds
  return result;
});
say('a tap shows its effect', taps.map((tap) => tap.painted), 100);
say('sign to finding, on the page', taps.map((tap) => tap.followed), 100);

for (let made = 0; made < JOBS; made += 50) await Promise.all(Array.from({ length: 50 }, (_, index) => bench.newJob({ number: String(5000 + made + index), title: `loses coolant ${made + index}` })));
await page.goto(bench.url);
await page.locator('.job-list a').first().waitFor();
const found = await repeated(ROUNDS, (round) =>
  page.evaluate(async (wanted) => {
    const field = document.querySelector('#find-job');
    const start = performance.now();
    field.value = wanted;
    field.dispatchEvent(new Event('input', { bubbles: true }));
    while (document.querySelectorAll('.job-list a').length !== 1 || !document.querySelector('.job-list a').textContent.includes(wanted)) await new Promise((done) => setTimeout(done, 2));
    return performance.now() - start;
  }, String(5000 + round * 7)),
);
say(`search as typed among ${JOBS} jobs`, found, 100);

await browser.close();
await bench.remove();
console.log(`script and style, gzip: ${(sizes.reduce((sum, size) => sum + size, 0) / 1000).toFixed(1)} kB   goal 200 kB`);
console.log(lines.join('\n'));
