// Gloves, dark, a tablet upright, print, and a reader who cannot see the plan.
import assert from 'node:assert/strict';
import { before, describe, it } from 'node:test';
import { accessibilityFaults, canStopServer, demoJob, goTo, openPage, until, workbenchForStories } from './workbench.mjs';

const GLOVE_PX = 64;
const A4_POINTS = /\/MediaBox\s*\[\s*0 0 (59[45]|612)/;

function smallTargets(least) {
  return [...document.querySelectorAll('button:not(.link), select, input[type=text], input[type=search], summary, label.choice, .steps a, a.go, a.plain, .job-list a, .shop-nav a')]
    .filter((target) => target.checkVisibility() && target.getBoundingClientRect().height > 0 && target.getBoundingClientRect().height < least - 0.5)
    .map((target) => `${target.localName}#${target.id}.${target.className} ${target.getBoundingClientRect().height}`);
}

describe('other ways to work', { skip: canStopServer ? false : 'needs the demo jobs of a fresh workbench' }, () => {
  const bench = workbenchForStories();
  let job;
  before(async () => {
    job = await demoJob(bench, '0117', { cut: { head: '0.15 mm' } });
  });

  it('in gloves and in the dark everything pressed is 64 px high and nothing is found by axe-core', async () => {
    const { page, close } = await openPage(bench.browser, { colorScheme: 'dark', viewport: { width: 768, height: 1024 } });
    await goTo(page, bench.url, job, 'finding');
    await page.getByRole('button', { name: 'Display' }).click();
    await page.getByRole('dialog').getByLabel('For gloves').check();
    assert.deepEqual(await accessibilityFaults(page), [], 'the display sheet');
    await page.keyboard.press('Escape');
    await until('the focus is back', () => page.evaluate(() => document.activeElement?.textContent?.includes('Display')));
    for (const step of ['complaint', 'checks', 'finding', 'decision', 'faces', 'machining', 'papers', 'history']) {
      await goTo(page, bench.url, job, step);
      assert.deepEqual(await page.evaluate(smallTargets, GLOVE_PX), [], step);
      assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= 768, `${step} scrolls sideways`);
      assert.deepEqual(await accessibilityFaults(page), [], step);
    }
    for (const place of ['#/', '#/settings']) {
      await page.goto(bench.url + place);
      await page.locator('h1').waitFor();
      assert.deepEqual(await page.evaluate(smallTargets, GLOVE_PX), [], place);
      assert.deepEqual(await accessibilityFaults(page), [], place);
    }
    await page.reload();
    assert.equal(await page.evaluate(() => document.documentElement.dataset.size), 'glove', 'remembered');
    await close();
  });

  it('text is 18 px and readings 24 px with figures of one width', async () => {
    const { page, close } = await openPage(bench.browser);
    await goTo(page, bench.url, job, 'checks', 'check-compression');
    const found = await page.evaluate(() => {
      const style = (selector) => getComputedStyle(document.querySelector(selector));
      return { body: style('body').fontSize, figures: style('body').fontVariantNumeric, reading: style('#reading-compression-1').fontSize };
    });
    assert.deepEqual(found, { body: '18px', figures: 'tabular-nums', reading: '24px' });
    await close();
  });

  it('the joint plan is read out: its title, what it shows, and its table in the same words', async () => {
    const { page, close } = await openPage(bench.browser);
    await goTo(page, bench.url, job, 'decision');
    await page.getByRole('button', { name: 'Joint plan' }).click();
    const sheet = page.getByRole('dialog', { name: 'Joint plan' });
    const tree = await sheet.ariaSnapshot();
    assert.match(tree, /img "[^"]*[Jj]oint plan[^"]*"/, 'the drawing has a name');
    await sheet.getByRole('button', { name: 'As a table' }).click();
    const table = await sheet.getByRole('table').ariaSnapshot();
    assert.match(table, /row "[^"]*2 and 3[^"]*0\.99/, 'the breach stands in the table');
    assert.deepEqual(await accessibilityFaults(page), []);
    await sheet.getByRole('button', { name: 'Close' }).click();
    await close();
  });

  it('every step and every paper prints on pages of paper without the page’s own controls', async () => {
    const { page, close } = await openPage(bench.browser);
    await page.emulateMedia({ media: 'print' });
    for (const step of ['complaint', 'finding', 'decision', 'machining', 'history']) {
      await goTo(page, bench.url, job, step);
      assert.equal(await page.locator('.side').isVisible(), false, 'no steps on paper');
      assert.equal(await page.locator('.title-actions').isVisible(), false, 'no buttons on paper');
      const pdf = (await page.pdf({ format: 'A4' })).toString('latin1');
      assert.match(pdf, A4_POINTS, step);
    }
    for (const paper of ['paper', 'owner-sheet', 'machine-shop-order']) {
      await page.goto(`${bench.url}api/v1/jobs/${job}/${paper}`);
      assert.match(await page.locator('body').innerText(), /0117/);
      assert.match((await page.pdf({ preferCSSPageSize: true })).toString('latin1'), A4_POINTS, paper);
    }
    await close();
  });

  it('nothing moves when the reader does not want it', async () => {
    const { page, close } = await openPage(bench.browser, { reducedMotion: 'reduce' });
    await goTo(page, bench.url, job, 'clamp');
    const moving = await page.evaluate(() => [...document.querySelectorAll('*')].filter((one) => getComputedStyle(one).animationName !== 'none' || parseFloat(getComputedStyle(one).transitionDuration) > 0).length);
    assert.equal(moving, 0);
    await close();
  });
});
