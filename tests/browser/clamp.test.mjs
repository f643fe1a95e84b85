// The joint clamped and tightened on the computer, shown while a figure is dragged.
import assert from 'node:assert/strict';
import { describe, it } from 'node:test';
import { accessibilityFaults, canStopServer, demoJob, goTo, hasOperation, isSaved, openPage, until, workbenchForStories } from './workbench.mjs';

// A calculation that waits for its turn, or has just ended, is not known by its name: the browser notes that on its console.
const NOT_UNDER_WAY = [/status of 404/];

describe('the joint clamped', { skip: canStopServer ? false : 'needs the demo engine of a fresh workbench' }, () => {
  const bench = workbenchForStories();
  const least = (page) => page.locator('.rings tbody tr').first().locator('td[data-heading^=least]').innerText().then(Number).catch(() => NaN);

  it('shows pressure, rings, passages and bolts, and follows the preload while it is dragged', async (t) => {
    if (!(await hasOperation(bench, 'clamp'))) return t.skip('this program does not clamp');
    const job = await demoJob(bench, '0117');
    const { page, close } = await openPage(bench.browser);
    await goTo(page, bench.url, job, 'clamp');
    const before = await until('the rings have their line load', () => least(page));
    assert.ok(await page.locator('.picture svg title').first().textContent(), 'the drawing has a name');
    await page.locator('.twin-fold summary').first().click();
    assert.ok((await page.locator('.twin table tr').count()) > 1, 'the drawing has a table twin');
    await page.getByRole('button', { name: 'Passages' }).click();
    assert.ok((await page.getByRole('table', { name: /each passage/ }).getByRole('row').count()) > 1);
    await page.getByRole('button', { name: 'Bolts' }).click();
    assert.ok((await page.getByRole('table', { name: /each bolt/ }).getByRole('row').count()) > 1);
    assert.deepEqual(await accessibilityFaults(page), []);

    const slider = page.locator('#clamp-preload-slide');
    await slider.scrollIntoViewIfNeeded();
    const box = await slider.boundingBox();
    await page.mouse.move(box.x + box.width * 0.4, box.y + box.height / 2);
    await page.mouse.down();
    await page.mouse.move(box.x + box.width * 0.15, box.y + box.height / 2, { steps: 10 });
    await until('the line load falls while the hand still holds', async () => (await least(page)) < before);
    await page.mouse.up();
    assert.equal((await bench.ask(`/jobs/${job}`)).revision, 1, 'a figure that is tried is not kept');
    await close();
  });

  it('takes gas on a cylinder, and says at the field what cannot be', async (t) => {
    if (!(await hasOperation(bench, 'clamp'))) return t.skip('this program does not clamp');
    const job = await demoJob(bench, '0117');
    const { page, close } = await openPage(bench.browser, { expected: [/status of 422/] });
    await goTo(page, bench.url, job, 'clamp');
    const before = await until('the rings have their line load', () => least(page));
    await page.locator('.fired label').first().click();
    await until('gas takes line load off its ring', async () => (await least(page)) < before);
    await page.locator('#clamp-gas').fill('12.3.4');
    await until('the field says so', async () => (await page.locator('#clamp-gas').getAttribute('aria-invalid')) === 'true');
    assert.ok(await least(page), 'the last figures are still there');
    await page.locator('#clamp-gas').fill('60');
    await page.locator('#clamp-gas').press('Enter');
    await until('the problem is gone', async () => (await page.locator('.problem-summary').count()) === 0);
    await close();
  });

  it('works out the chance that it seals, tells how far it is and can be stopped', async (t) => {
    if (!(await hasOperation(bench, 'seal-chance'))) return t.skip('this program does not work out the chance');
    const job = await demoJob(bench, '0117');
    const { page, close } = await openPage(bench.browser, { expected: NOT_UNDER_WAY });
    await goTo(page, bench.url, job, 'clamp');
    await page.locator('#seal-samples').fill('20');
    await page.getByRole('button', { name: 'Work out the chance' }).click();
    await page.getByText(/20 trials in/).waitFor({ timeout: 60_000 });
    assert.deepEqual(await accessibilityFaults(page), []);
    await page.locator('#seal-samples').fill('1000000');
    await page.getByText('Of other loads than those above').waitFor();
    await page.getByRole('button', { name: 'Work out the chance' }).click();
    await page.locator('progress').waitFor();
    await until('it tells how far it is', async () => /% done/.test(await page.locator('.run label').innerText()));
    await page.getByRole('button', { name: 'Stop', exact: true }).click();
    await page.getByText('stopped before the end').waitFor();
    assert.equal(await page.locator('progress').count(), 0);
    await close();
  });

  it('is marked as judged, and that is taken back', async (t) => {
    if (!(await hasOperation(bench, 'clamp'))) return t.skip('this program does not clamp');
    const job = await demoJob(bench, '0117');
    const { page, close } = await openPage(bench.browser);
    await goTo(page, bench.url, job, 'clamp');
    const box = page.getByLabel('The joint has been judged by its clamping');
    await box.check();
    await isSaved(page);
    assert.match(await page.locator('.steps a[href$="/clamp"] .step-state').innerText(), /done/);
    await box.uncheck();
    await until('it is open again', async () => /open/.test(await page.locator('.steps a[href$="/clamp"] .step-state').innerText()));
    await close();
  });
});

describe('the joint tightened', { skip: canStopServer ? false : 'needs the demo engine of a fresh workbench' }, () => {
  const bench = workbenchForStories();

  it('shows the forces after each pass, doubts an order that is none, and tries the one recommended', async (t) => {
    if (!(await hasOperation(bench, 'tighten'))) return t.skip('this program does not tighten');
    const job = await demoJob(bench, '0117');
    const { page, close } = await openPage(bench.browser, { expected: NOT_UNDER_WAY });
    await goTo(page, bench.url, job, 'tightening');
    const forces = page.getByRole('table', { name: /each bolt after each pass/ });
    await forces.waitFor({ timeout: 60_000 });
    assert.equal(await forces.locator('thead th').count(), 4, 'three passes');
    assert.deepEqual(await accessibilityFaults(page), []);
    await page.locator('#tighten-passes').fill('1');
    await until('one pass', async () => (await forces.locator('thead th').count()) === 2);
    await page.locator('#tighten-order').fill('1, 2, 2');
    await page.getByText('Bolt 2 stands twice.').waitFor();
    await page.getByRole('button', { name: 'Try it' }).click();
    assert.match(await page.locator('#tighten-order').inputValue(), /^\d+(, \d+)+$/);
    await until('the doubt is gone', async () => (await page.locator('#tighten-order').getAttribute('aria-invalid')) === 'false');
    await close();
  });
});
