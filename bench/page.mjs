// How long the page takes until the list of jobs stands on the screen, over loopback, with a cold cache. Goal: 300 ms.
// Yardstick of the same run: an empty page of the same browser.
// usage: node bench/page.mjs   (HEADJOINT as in tests/browser)
import { launchBrowser, Workbench } from '../tests/browser/workbench.mjs';

const ROUNDS = 11;
const median = (numbers) => [...numbers].sort((a, b) => a - b)[Math.floor(numbers.length / 2)];

async function shownAfter(browser, url, selector) {
  const context = await browser.newContext();
  const page = await context.newPage();
  const start = performance.now();
  await page.goto(url);
  await page.locator(selector).first().waitFor();
  const elapsed = performance.now() - start;
  await context.close();
  return elapsed;
}

const bench = new Workbench();
await bench.start();
const browser = await launchBrowser();
const empty = [];
const jobs = [];
for (let round = 0; round < ROUNDS; ++round) {
  empty.push(await shownAfter(browser, 'data:text/html,<p>empty', 'p'));
  jobs.push(await shownAfter(browser, bench.url, 'a[href*="jobs/"]'));
}
await browser.close();
await bench.remove();
console.log(`yardstick: an empty page ${median(empty).toFixed(0)} ms`);
console.log(`list of jobs shown ${median(jobs).toFixed(0)} ms   goal 300 ms`);
