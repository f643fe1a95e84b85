// A repaired engine read again: what is typed is judged at once, and what was read before it never stands for it.
import assert from 'node:assert/strict';
import { describe, it } from 'node:test';
import { accessibilityFaults, canStopServer, demoJob, goTo, isSaved, openPage, until, workbenchForStories } from './workbench.mjs';

describe('proof', { skip: canStopServer ? false : 'needs the demo jobs of a fresh workbench' }, () => {
  const bench = workbenchForStories();
  const verdict = (page) => page.locator('#proof-verdict-title ~ .verdict').innerText();

  it('proves a repair whose readings are within their limits', async () => {
    const job = await demoJob(bench, '0120');
    const { page, close } = await openPage(bench.browser);
    await goTo(page, bench.url, job, 'proof');
    await until('the verdict stands there', async () => /Proven/.test(await verdict(page).catch(() => '')));
    assert.deepEqual(await accessibilityFaults(page), []);
    await close();
  });

  it('judges a compression typed after the repair beside its band, and takes it back', async () => {
    const job = await demoJob(bench, '0120');
    const { page, close } = await openPage(bench.browser);
    await goTo(page, bench.url, job, 'proof');
    await page.locator('#proof-compression summary').click();
    const field = page.locator('#proof-compression-3');
    await field.fill('9,1');
    await field.press('Tab');
    await isSaved(page);
    await until('it is below its limit', async () => /BELOW/.test(await page.locator('#proof-compression tbody tr').nth(2).innerText()));
    await until('the verdict names it', async () => /Not proven.*cylinder 3/s.test(await verdict(page)));
    const kept = (await bench.ask(`/jobs/${job}`)).document;
    assert.equal(kept.proof_reading.find((reading) => reading.test === 'compression').values[2], '9,1 bar');
    assert.equal(kept.reading.find((reading) => reading.test === 'compression').values[2], '10.9 bar', 'what was read before stays');
    await page.locator('.title-actions button', { hasText: 'Undo' }).click();
    await until('undo takes it back', async () => /Proven/.test(await verdict(page)));
    await close();
  });

  it('expects readings before anything is repaired, and claims nothing', async () => {
    const job = await demoJob(bench, '0117');
    const { page, close } = await openPage(bench.browser);
    await goTo(page, bench.url, job, 'proof');
    await until('it says so', async () => /Nothing is repaired yet/.test(await verdict(page).catch(() => '')));
    await page.locator('#repair-bolts').selectOption('new');
    await isSaved(page);
    await until('now the work is weighed', async () => /Not proven yet|A fault probably remains/.test(await verdict(page)));
    await close();
  });

  it('marks what was seen at strip-down on the plan', async () => {
    const job = await demoJob(bench, '0117');
    const { page, close } = await openPage(bench.browser);
    await goTo(page, bench.url, job, 'faces');
    const rows = page.locator('section[aria-labelledby=strip-title] ol li');
    await until('the record stands there', async () => (await rows.count()) === 4);
    await page.locator('#seen-part').selectOption('piston');
    await page.locator('#seen-where').selectOption('2');
    await page.locator('#seen-kind').selectOption('washed');
    await page.locator('section[aria-labelledby=strip-title] button.go').click();
    await isSaved(page);
    await until('it is kept', async () => (await bench.ask(`/jobs/${job}`)).document.seen.length === 5);
    await until('it is marked', async () => (await page.locator('section[aria-labelledby=strip-title] svg .jp-tag').count()) >= 5);
    await close();
  });
});
