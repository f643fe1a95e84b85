// The shop as a whole: settings, files in and out, backup and restore.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { describe, it } from 'node:test';
import { accessibilityFaults, demoJob, goTo, openPage, until, workbenchForStories } from './workbench.mjs';

const REFUSED = [/status of 422/];

describe('the shop', () => {
  const bench = workbenchForStories();

  it('keeps its tools with their calibration, and says when one is overdue', async () => {
    const { page, close } = await openPage(bench.browser, { expected: REFUSED });
    await page.goto(`${bench.url}#/settings/tools`);
    await page.getByRole('button', { name: 'Start from the example' }).click();
    const until1 = page.getByLabel('Calibrated until').first();
    await until1.fill('2020-01-31');
    await until1.press('Enter');
    await page.getByText('This date has passed').waitFor();
    await page.getByRole('button', { name: 'One more: tool' }).click();
    assert.equal(await page.getByLabel('Name', { exact: true }).count(), 2);
    await page.getByLabel('Name', { exact: true }).nth(1).fill('dial gauge');
    await page.getByLabel('Name', { exact: true }).nth(1).press('Enter');
    await page.getByLabel('Resolution').nth(1).fill('0.01 mm');
    await page.getByLabel('Resolution').nth(1).press('Enter');
    await page.getByLabel('Calibrated until').nth(1).fill('2031-01-31');
    await page.getByLabel('Calibrated until').nth(1).press('Enter');
    await page.getByRole('button', { name: /^Save ?: tools/ }).click();
    await page.getByText('Saved', { exact: true }).waitFor();
    assert.match((await bench.ask('/shop/tools')).text, /dial gauge/);
    assert.deepEqual(await accessibilityFaults(page), []);
    await close();
  });

  it('says which line of a document does not read, and keeps what was typed', async () => {
    const { page, close } = await openPage(bench.browser, { expected: REFUSED });
    await page.goto(`${bench.url}#/settings/limits`);
    const sheet = page.locator('#shop-limits');
    await sheet.getByText('The whole document as text').click();
    await sheet.locator('textarea').fill('a = 1\nb = = 2\n');
    await sheet.getByRole('button', { name: /^Save/ }).click();
    await sheet.locator('.problem-summary', { hasText: 'Line 2' }).waitFor();
    assert.equal(await sheet.locator('textarea').inputValue(), 'a = 1\nb = = 2\n');
    await close();
  });

  it('finds a job as it is typed', async () => {
    await bench.newJob({ number: '0999', title: 'knocks when cold' });
    const { page, close } = await openPage(bench.browser);
    await page.goto(bench.url);
    await page.locator('#find-job').fill('kNOCKs 0999');
    await until('one is left', async () => (await page.locator('.job-list a').count()) === 1);
    assert.match(await page.locator('.job-list a').innerText(), /knocks when cold/);
    await page.locator('#find-job').fill('nothing like it');
    await page.getByText('No job has all these words.').waitFor();
    await close();
  });

  it('gives a job as TOML and opens it again', async () => {
    const job = await demoJob(bench, '0119');
    const { page, close } = await openPage(bench.browser);
    await goTo(page, bench.url, job, 'papers');
    const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('link', { name: 'Save as TOML' }).click()]);
    const text = await readFile(await download.path(), 'utf8');
    assert.match(text, /^title = .cream under the oil cap/m);
    await page.goto(bench.url);
    await page.locator('#copy-file').setInputFiles({ name: 'job.toml', mimeType: 'application/toml', buffer: Buffer.from(text) });
    await until('it is opened', () => page.evaluate(() => location.hash.startsWith('#/jobs/') || document.querySelector('.notes') !== null));
    const { jobs } = await bench.ask('/jobs');
    const copy = await bench.ask(`/jobs/${jobs[0].id}`);
    assert.notEqual(copy.id, job);
    assert.deepEqual(copy.document.signs, (await bench.ask(`/jobs/${job}`)).document.signs);
    await close();
  });

  it('is saved in one file and put back from it', async () => {
    const job = await bench.newJob({ title: 'kept in the backup' });
    const { page, close } = await openPage(bench.browser);
    await page.goto(`${bench.url}#/settings`);
    const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('link', { name: 'Save a backup' }).click()]);
    const file = await download.path();
    const stored = await bench.ask(`/jobs/${job}`);
    await bench.ask(`/jobs/${job}`, { method: 'PUT', headers: { 'Content-Type': 'application/json', 'If-Match': `"${stored.revision}"` }, body: JSON.stringify({ document: { ...stored.document, title: 'changed since' } }) });
    await page.getByLabel('Backup file').setInputFiles({ name: 'backup', mimeType: 'application/octet-stream', buffer: await readFile(file) });
    await page.getByLabel('Yes, put the backup in place of what is here').check();
    await page.getByRole('button', { name: 'Restore', exact: true }).click();
    await page.getByText(/^Restored: \d+ jobs/).waitFor();
    assert.equal((await bench.ask(`/jobs/${job}`)).document.title, 'kept in the backup');
    await close();
  });
});
