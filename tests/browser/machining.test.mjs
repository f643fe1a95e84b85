// What a cut changes, shown while it is dragged.
import assert from 'node:assert/strict';
import { describe, it } from 'node:test';
import { accessibilityFaults, canStopServer, demoJob, goTo, isSaved, openPage, until, workbenchForStories } from './workbench.mjs';

describe('machining', { skip: canStopServer ? false : 'needs the demo engine of a fresh workbench' }, () => {
  const bench = workbenchForStories();
  const ratio = (page) => page.locator('.consequences tr', { hasText: /^Compression ratio/ }).locator('td[data-heading=after] .figure').innerText();

  it('shows what the cut changes while it is dragged, keeps it when let go, and takes it back', async () => {
    const job = await demoJob(bench, '0117');
    const { page, close } = await openPage(bench.browser);
    await goTo(page, bench.url, job, 'machining');
    const before = await until('the ratio stands there', () => ratio(page).catch(() => ''));
    const slider = page.locator('#cut-head-slide');
    const box = await slider.boundingBox();
    await page.mouse.move(box.x + 2, box.y + box.height / 2);
    await page.mouse.down();
    await page.mouse.move(box.x + box.width * 0.3, box.y + box.height / 2, { steps: 8 });
    await until('the ratio rises while the hand still holds', async () => Number(await ratio(page)) > Number(before) + 0.1);
    assert.equal((await bench.ask(`/jobs/${job}`)).document.cut?.head, undefined, 'not kept yet');
    await page.mouse.up();
    await isSaved(page);
    const typed = await page.locator('#cut-head').inputValue();
    await until('the cut is kept with the job', async () => (await bench.ask(`/jobs/${job}`)).document.cut?.head === `${typed} mm`);
    assert.match(await page.locator('.steps a[href$="/machining"] .step-state').innerText(), /done/);
    assert.deepEqual(await accessibilityFaults(page), []);
    await page.locator('.title-actions button', { hasText: 'Undo' }).click();
    await until('undo brings the figures back', async () => (await ratio(page)) === before && (await page.locator('#cut-head').inputValue()) === '');
    await close();
  });

  it('takes typed figures with comma, steps with the keys, and keeps what was typed as typed', async () => {
    const job = await demoJob(bench, '0117');
    const { page, close } = await openPage(bench.browser);
    await goTo(page, bench.url, job, 'machining');
    const field = page.locator('#cut-head');
    await field.fill('0,155');
    await until('it is shown before the field is left', async () => (await page.locator('.consequences tr', { hasText: /^Off the head/ }).locator('td[data-heading=after]').innerText()).includes('0.155 mm'));
    await field.press('ArrowUp');
    assert.equal(await field.inputValue(), '0,16');
    await field.fill('0,155');
    await field.press('Tab');
    await isSaved(page);
    await until('it is kept as typed', async () => (await bench.ask(`/jobs/${job}`)).document.cut?.head === '0,155 mm');
    await page.reload();
    await page.locator('#machining-heading').waitFor();
    assert.equal(await field.inputValue(), '0,155');
    await close();
  });

  it('says at the field what cannot be, beside the last figures that could', async () => {
    const job = await demoJob(bench, '0117');
    const { page, close } = await openPage(bench.browser, { expected: [/status of 422/] });
    await goTo(page, bench.url, job, 'machining');
    await until('figures stand there', () => ratio(page).catch(() => ''));
    await page.locator('#cut-head').fill('15');
    const problem = page.locator('.problem-summary').first();
    await problem.waitFor();
    await page.locator('#cut-head').press('Tab');
    await until('the field says it too', async () => (await page.locator('#cut-head').getAttribute('aria-invalid')) === 'true');
    assert.equal(await page.locator('#cut-head').inputValue(), '15');
    assert.ok(await ratio(page), 'the last figures are still there');
    await page.locator('#cut-head').fill('');
    await page.locator('#cut-head').press('Enter');
    await until('the problem is gone', async () => (await page.locator('.problem-summary').count()) === 0);
    await close();
  });

  it('prints the order for the machine shop on one page', async () => {
    const job = await demoJob(bench, '0117', { cut: { head: '0.15 mm' } });
    const { page, close } = await openPage(bench.browser);
    await page.goto(`${bench.url}api/v1/jobs/${job}/machine-shop-order`);
    const pdf = await page.pdf({ preferCSSPageSize: true });
    assert.equal(pdf.toString('latin1').match(/\/Type\s*\/Page[^s]/g)?.length, 1);
    await close();
  });
});
