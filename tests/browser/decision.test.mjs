// What to do, what it costs, and what would change the choice; deciding writes it into the job.
import assert from 'node:assert/strict';
import { describe, it } from 'node:test';
import { accessibilityFaults, canStopServer, demoJob, goTo, isSaved, openPage, until, workbenchForStories } from './workbench.mjs';

describe('decision', { skip: canStopServer ? false : 'needs the demo jobs of a fresh workbench' }, () => {
  const bench = workbenchForStories();
  const verdict = (page) => page.locator('.verdict').first().innerText();
  const row = (page, text) => page.locator('.cost-options tbody tr', { hasText: text });
  const expected = async (page, text) => Number(await row(page, text).first().locator('td[data-heading=expected]').innerText());
  const opened = async (number, options = {}) => {
    const job = await demoJob(bench, number);
    const { page, close } = await openPage(bench.browser, options);
    await goTo(page, bench.url, job, 'decision');
    await page.locator('.cost-options').waitFor();
    return { job, page, close };
  };

  it('sends a burnt bridge with a warped head to the machine shop, and keeps the decision', async () => {
    const { job, page, close } = await opened('0117');
    assert.match(await verdict(page), /gasket with head service/);
    assert.match(await page.locator('.barred').innerText(), /Gasket only: a face is measured out of limit/i);
    assert.deepEqual(await accessibilityFaults(page), []);
    await row(page, 'Gasket with head service').first().locator('button').click();
    await isSaved(page);
    await until('the job holds it', async () => (await bench.ask(`/jobs/${job}`)).document.decision.some((one) => one.what === 'gasket with head service' && /crowns expected/.test(one.why)));
    await close();
  });

  it('does not open an engine whose joint is probably sound', async () => {
    const { page, close } = await opened('0119');
    assert.match(await verdict(page), /Do not open the engine now.*pressure cap/);
    assert.ok((await expected(page, 'pressure cap')) < (await expected(page, 'Gasket only')));
    await close();
  });

  it('follows the price of the hour and the way to be driven at once, and takes nonsense as nonsense', async () => {
    const { job, page, close } = await opened('0118', { expected: [/status of 422/] });
    const before = await expected(page, 'Gasket only');
    await page.locator('#workshop-hour_price').fill('144');
    await until('twice the hour is twice the cost', async () => Math.abs((await expected(page, 'Gasket only')) / before - 2) < 0.01);
    const near = Number(await row(page, 'drive on').first().locator('td[data-heading="engine lost"]').innerText());
    await page.locator('#way-distance').fill('600');
    await until('a longer way risks more', async () => Number(await row(page, 'drive on').first().locator('td[data-heading="engine lost"]').innerText()) > near);
    await page.locator('#workshop-hour_price').fill('cheap');
    await page.locator('#workshop-hour_price').press('Tab');
    await until('the field says so', async () => (await page.locator('#workshop-hour_price').getAttribute('aria-invalid')) === 'true');
    assert.equal(await page.locator('#workshop-hour_price').inputValue(), 'cheap', 'kept as typed');
    await page.locator('#workshop-hour_price').fill('72');
    await page.locator('#workshop-hour_price').press('Tab');
    await until('a number mends it', async () => (await bench.ask(`/jobs/${job}`)).document.workshop.hour_price === 72);
    await close();
  });

  it('fits a phone and the dark', async () => {
    const job = await demoJob(bench, '0118');
    const { page, close } = await openPage(bench.browser, { viewport: { width: 320, height: 800 }, colorScheme: 'dark' });
    await goTo(page, bench.url, job, 'decision');
    await page.locator('.cost-options').waitFor();
    assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= 320, 'nothing stands over the edge');
    assert.deepEqual(await accessibilityFaults(page), []);
    if (process.env.HEADJOINT_SHOTS) await page.screenshot({ path: `${process.env.HEADJOINT_SHOTS}-320.png`, fullPage: true });
    await close();
  });
});
