// The whole way with the keyboard alone: the pointer is never used.
import assert from 'node:assert/strict';
import { describe, it } from 'node:test';
import { isSaved, openPage, until, workbenchForStories } from './workbench.mjs';

const MOST_TABS = 250;

async function tabTo(page, selector, key = 'Tab') {
  for (let count = 0; count < MOST_TABS; ++count) {
    await page.keyboard.press(key);
    const found = await page.evaluate((wanted) => document.activeElement?.matches(wanted), selector);
    if (!found) continue;
    assert.ok(await page.evaluate(isFocusSeen), `the focus on ${selector} can be seen`);
    return;
  }
  assert.fail(`the keyboard never reached ${selector}`);
}

/** The focused element, or the label round it, has an outline, lies inside the window and under nothing else. */
function isFocusSeen() {
  const element = document.activeElement;
  const ringed = [element, element.closest('label')].filter(Boolean);
  const outlined = ringed.some((one) => getComputedStyle(one).outlineStyle !== 'none' && parseFloat(getComputedStyle(one).outlineWidth) >= 2);
  const { left, top, width, height } = element.getBoundingClientRect();
  const onTop = document.elementFromPoint(left + width / 2, top + height / 2);
  return outlined && onTop !== null && ringed.some((one) => one.contains(onTop));
}

describe('the keyboard alone', () => {
  const bench = workbenchForStories();

  for (const size of [{ width: 1280, height: 800 }, { width: 320, height: 640 }]) {
    it(`opens a job, answers, reads a gauge and undoes at ${size.width} px`, async () => {
      const job = await bench.newJob();
      const { page, close } = await openPage(bench.browser, { viewport: size });
      await page.goto(bench.url);
      await page.locator('.job-list a').first().waitFor();
      await tabTo(page, `.job-list a[href*="/${job}/"]`);
      await page.keyboard.press('Enter');
      await page.locator('#finding-heading').waitFor();

      await tabTo(page, '.steps a[href$="/complaint"]', size.width > 760 ? 'Shift+Tab' : 'Tab');
      await page.keyboard.press('Enter');
      await until('the heading has the focus', () => page.evaluate(() => document.activeElement?.id === 'complaint-heading'));
      await tabTo(page, '#sign-milky_oil input');
      await page.keyboard.press('ArrowLeft');
      await page.keyboard.press('ArrowLeft');
      await isSaved(page);
      await until('the answer is on the server', async () => (await bench.ask(`/jobs/${job}`)).document.signs?.milky_oil === 'seen');

      await tabTo(page, '.steps a[href$="/checks"]', size.width > 760 ? 'Shift+Tab' : 'Tab');
      await page.keyboard.press('Enter');
      await until('the heading has the focus', () => page.evaluate(() => document.activeElement?.id === 'checks-heading'));
      await tabTo(page, '#check-compression summary');
      await page.keyboard.press('Enter');
      await tabTo(page, '#reading-compression-1');
      for (const reading of ['12,1', '9.4', '9.3', '12.0']) {
        await page.keyboard.type(reading);
        await page.keyboard.press('Enter');
      }
      await until('the readings are on the server', async () => JSON.stringify((await bench.ask(`/jobs/${job}`)).document.reading?.[0]?.values) === '["12,1 bar","9.4 bar","9.3 bar","12.0 bar"]');

      await tabTo(page, '.title-actions button:first-child', 'Shift+Tab');
      await page.keyboard.press('Enter');
      await until('the last reading is taken back', async () => (await bench.ask(`/jobs/${job}`)).document.reading?.[0]?.values?.[3] === '');
      await isSaved(page);
      await close();
    });
  }
});
