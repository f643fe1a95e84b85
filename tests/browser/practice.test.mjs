// Practice played to its end, a job closed, and the record that comes of it.
import assert from 'node:assert/strict';
import { describe, it } from 'node:test';
import { accessibilityFaults, demoJob, goTo, hasOperation, isSaved, openPage, workbenchForStories } from './workbench.mjs';

const LEVELS = ['one', 'misleading', 'two', 'false-alarm'];
const AWAY = [/status of 404/];

async function engineIn(page, url, level, seed) {
  await page.goto(`${url}#/practice/${level}/${seed}`);
  await page.locator('#story-title').waitFor();
}

async function buy(page, question) {
  const before = await page.locator('.practice-seen > li').count();
  const button = page.getByRole('button', { name: question });
  await page.locator('details.practice-group', { has: page.locator('button', { hasText: question }) }).evaluate((fold) => { fold.open = true; });
  await button.click();
  await page.locator('.practice-seen > li').nth(before).waitFor();
}

describe('practice', () => {
  const bench = workbenchForStories();

  it('brings in the engine that the class was given', async () => {
    const { page, close } = await openPage(bench.browser, { expected: AWAY });
    await page.goto(`${bench.url}#/practice`);
    await page.getByLabel('Two faults').check();
    await page.getByLabel('Number of the engine').fill('seven');
    await page.getByRole('button', { name: 'Bring the engine in' }).click();
    await page.getByText('A whole number from 0 to').waitFor();
    await page.getByLabel('Number of the engine').fill('7');
    await page.keyboard.press('Enter');
    await page.locator('#story-title').waitFor();
    assert.match(page.url(), /#\/practice\/two\/7$/);
    assert.deepEqual(await accessibilityFaults(page), []);
    await close();
  });

  for (const level of LEVELS) {
    it(`plays seed 7 of level ${level} to its end`, async () => {
      const { page, close } = await openPage(bench.browser, { expected: AWAY });
      await engineIn(page, bench.url, level, 7);
      await buy(page, 'Coolant dripping elsewhere?');
      await buy(page, 'How much leaks down?');
      assert.equal(await page.getByText('the best policy').count(), 0, 'nothing is told before the naming');
      await page.reload();
      await page.locator('.practice-seen > li').nth(1).waitFor();
      await page.locator('#naming-fault').selectOption('joint');
      await page.getByRole('button', { name: 'That is it' }).click();
      await page.locator('#reckoning-title').waitFor({ timeout: 60_000 });
      assert.equal(await page.evaluate(() => document.activeElement?.id), 'reckoning-title');
      assert.match(await page.locator('.verdict').innerText(), /It was: .+ Your way cost \d+ workshop minutes/);
      assert.equal(await page.locator('.plan svg').count(), 1);
      assert.deepEqual(await accessibilityFaults(page), []);
      await page.getByRole('button', { name: 'The same again' }).click();
      await page.getByText('Nothing has been looked at yet.').waitFor();
      await close();
    });
  }

  it('needs no sideways scrolling on a narrow window', async () => {
    const { page, close } = await openPage(bench.browser, { viewport: { width: 320, height: 640 }, expected: AWAY });
    await engineIn(page, bench.url, 'one', 3);
    await buy(page, 'Does this cylinder misfire?');
    assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= 320);
    await page.getByRole('button', { name: 'Nothing is wrong' }).click();
    await page.locator('#reckoning-title').waitFor({ timeout: 60_000 });
    assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= 320);
    await close();
  });
});

describe('the shop record', () => {
  const bench = workbenchForStories();

  it('counts a job once it says how it was verified', async () => {
    if (!(await hasOperation(bench, 'shop-record'))) return;
    const { page, close } = await openPage(bench.browser, { expected: AWAY });
    const job = await demoJob(bench, '0117');
    await goTo(page, bench.url, job, 'papers');
    await page.locator('#closing-cause').selectOption({ index: 1 });
    await page.getByRole('button', { name: 'Note it' }).click();
    await isSaved(page);
    await page.getByLabel('Seen with the head off').check();
    await isSaved(page);
    assert.deepEqual(await accessibilityFaults(page), []);
    await page.goto(`${bench.url}#/shop-record`);
    await page.locator('#trust-title').waitFor();
    assert.match(await page.locator('#jobs-title').innerText(), /1 verified/);
    assert.match(await page.locator('main').innerText(), /too few to prove anything/);
    assert.deepEqual(await accessibilityFaults(page), []);
    await close();
  });
});
