// One job on two pages: nothing is lost, and where both changed the same entry someone chooses. Undo, redo and the history of the job.
import assert from 'node:assert/strict';
import { describe, it } from 'node:test';
import { accessibilityFaults, goTo, isSaved, openPage, until, workbenchForStories } from './workbench.mjs';

const OVERTAKEN = [/status of 412/];
const GONE = [/status of 410/];
const oil = (page) => page.locator('#sign-milky_oil');
const stored = async (bench, job) => (await bench.ask(`/jobs/${job}`)).document;

/** Another page that works under a name. */
async function pageOf(bench, name, expected = OVERTAKEN) {
  const opened = await openPage(bench.browser, { expected });
  await opened.page.goto(`${bench.url}#/settings`);
  await opened.page.getByLabel('Your name').fill(name);
  await opened.page.getByLabel('Your name').press('Enter');
  return opened;
}

describe('two pages on one job', () => {
  const bench = workbenchForStories();

  it('show both values of an entry that both changed, and keep the one chosen', async () => {
    const job = await bench.newJob();
    const [one, other] = [await pageOf(bench, 'Ana Brill'), await pageOf(bench, 'Joss Tarn')];
    for (const { page } of [one, other]) await goTo(page, bench.url, job, 'complaint');
    await oil(one.page).getByText('Seen', { exact: true }).click();
    await isSaved(one.page);
    await other.page.evaluate(() => {
      for (const field of ['#sign-runs_hot input[value=seen]', '#sign-milky_oil input[value=absent]']) document.querySelector(field).click();
    });
    const choice = other.page.getByRole('alert').filter({ hasText: 'Changed here and elsewhere' });
    await choice.waitFor();
    assert.match(await choice.innerText(), /yours\s+absent\s+theirs\s+seen/i);
    await other.page.getByText('by Ana Brill').waitFor();
    assert.deepEqual(await accessibilityFaults(other.page), []);
    await until('what only one changed is saved', async () => (await stored(bench, job)).signs.runs_hot === 'seen');
    assert.equal((await stored(bench, job)).signs.milky_oil, 'seen', 'theirs stands until someone chose');
    await other.page.reload();
    await choice.getByRole('button', { name: /^Keep yours/ }).click();
    await isSaved(other.page);
    await until('the choice is saved', async () => (await stored(bench, job)).signs.milky_oil === 'absent');
    assert.equal(await choice.count(), 0);
    await one.close();
    await other.close();
  });

  it('tells who changed what, what it was before, and brings an older version back', async () => {
    const job = await bench.newJob();
    const { page, close } = await pageOf(bench, 'Ana Brill');
    await goTo(page, bench.url, job, 'checks', 'check-compression');
    await page.locator('#reading-compression-1').fill('12,1');
    await page.locator('#reading-compression-1').press('Enter');
    await isSaved(page);
    await page.locator('#reading-compression-1').fill('11,9');
    await page.locator('#reading-compression-1').press('Enter');
    await isSaved(page);
    await page.getByRole('link', { name: 'History' }).first().click();
    const newest = page.locator('.history > li').first();
    await newest.getByRole('row', { name: /Compression, cylinder 1 12,1 bar 11,9 bar/ }).waitFor();
    assert.match(await newest.innerText(), /Ana Brill/);
    assert.deepEqual(await accessibilityFaults(page), []);
    await page.locator('.history > li').nth(1).getByRole('button', { name: /^Bring this version back/ }).click();
    await page.getByText('This version was brought back').waitFor();
    assert.equal((await stored(bench, job)).reading[0].values[0], '12,1 bar');
    await close();
  });

  it('undoes and redoes with the keys, but leaves the keys to a field that is being typed in', async () => {
    const job = await bench.newJob();
    const { page, close } = await openPage(bench.browser);
    await goTo(page, bench.url, job, 'complaint');
    await oil(page).getByText('Seen', { exact: true }).click();
    await isSaved(page);
    await page.keyboard.press('Control+z');
    await until('taken back', async () => (await stored(bench, job)).signs?.milky_oil === undefined);
    await page.keyboard.press('Control+y');
    await until('made again', async () => (await stored(bench, job)).signs?.milky_oil === 'seen');
    const title = page.getByLabel('Complaint in one line');
    await title.focus();
    await page.keyboard.press('End');
    await page.keyboard.type(' today');
    await page.keyboard.press('Control+z');
    await isSaved(page);
    assert.ok(await oil(page).locator('input[value=seen]').isChecked());
    await close();
  });

  it('says so when a job was removed elsewhere, and brings it back with what was typed', async () => {
    const job = await bench.newJob();
    const { page, close } = await pageOf(bench, 'Ana Brill', [...OVERTAKEN, ...GONE]);
    await goTo(page, bench.url, job, 'papers');
    await page.getByRole('button', { name: 'Remove this job' }).click();
    await page.locator('#find-job').waitFor();
    assert.equal(await page.locator(`.job-list a[href*="/${job}/"]`).count(), 0);
    await page.goto(`${bench.url}#/jobs/${job}/finding`);
    await page.getByRole('heading', { name: 'This job was removed' }).waitFor();
    assert.deepEqual(await accessibilityFaults(page), []);
    await page.getByRole('button', { name: 'Bring it back' }).click();
    await page.locator('#finding-heading').waitFor();
    await close();
  });
});
