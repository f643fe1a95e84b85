// Every screen in both themes and on small windows.
import assert from 'node:assert/strict';
import { before, describe, it } from 'node:test';
import { accessibilityFaults, canStopServer, demoJob, goTo, hasOperation, openPage, workbenchForStories } from './workbench.mjs';

const LEAST_TARGET_PX = 48;
const FACE = 'x_mm;y_mm;z_mm\n0;0;0,00\n200;0;0,02\n400;0;0,01\n0;150;0,01\n200;150;0,04\n400;150;0,00\n';
const MORE = {
  signs: { runs_hot: 'seen', milky_oil: 'seen', coolant_lost: 'absent', plug_washed: { 2: 'absent', 3: 'seen' } },
  reading: [{ test: 'compression', values: ['12.1 bar', '9,4 bar', '9.3 bar', '12.0 bar'], resolution: '0.2 bar' }],
  face: [{ part: 'head', table: FACE }],
};
const SCREENS = [
  ['complaint', ''],
  ['checks', ''],
  ['checks', 'check-compression'],
  ['checks', 'sign-plug_washed-3'],
  ['finding', ''],
  ['decision', ''],
  ['faces', ''],
  ['papers', ''],
  ['history', ''],
];
const STEPS_WITH_OPERATION = [
  ['machining', 'after-skim'],
  ['clamp', 'clamp'],
  ['tightening', 'tighten'],
];
const NOT_UNDER_WAY = [/status of 404/];

/** A face on its grid: three by two. */
const LATTICE = 'point;x_mm;y_mm;z_mm\n1;10;160;0,01\n2;210;160;0,02\n3;420;160;\n4;420;10;0,00\n5;210;10;inaccessible\n6;10;10;0,01\n';

/** Buttons, fields and boxes that are smaller than a thumb. */
function smallTargets(least) {
  const targets = [...document.querySelectorAll('button:not(.link), select, input[type=text], input[type=search], input[type=range], textarea, summary, label.choice, .steps a, a.go, .job-list a')];
  return targets
    .filter((target) => target.checkVisibility())
    .map((target) => ({ name: `${target.localName}#${target.id}.${target.className}`, height: target.getBoundingClientRect().height }))
    .filter(({ height }) => height > 0 && height < least - 0.5)
    .map(({ name, height }) => `${name} ${height}`);
}

describe('every screen', () => {
  const bench = workbenchForStories();
  let job;
  let screens;
  before(async () => {
    job = await bench.newJob(MORE);
    screens = SCREENS.map(([step, field]) => [job, step, field]);
    if (!canStopServer) return;
    const demo = await demoJob(bench, '0117', { cut: { head: '0.45 mm' } });
    const onGrid = await demoJob(bench, '0117', { face: [{ part: 'head', table: LATTICE }] });
    screens.push([demo, 'finding', ''], [demo, 'faces', ''], [onGrid, 'faces', '']);
    if (await hasOperation(bench, 'proof')) screens.push([demo, 'proof', '']);
    for (const [step, operation] of STEPS_WITH_OPERATION) if (await hasOperation(bench, operation)) screens.push([demo, step, '']);
  });

  /** The addresses of the shop's pages, as the navigation has them. */
  const shopPages = (page) => page.locator('.shop-nav a').evaluateAll((links) => links.map((link) => link.getAttribute('href')));

  async function showShop(page, address) {
    await page.goto(bench.url + address);
    await page.locator('.shop-nav a[aria-current]').waitFor();
    await page.locator('main h1').waitFor();
    await page.waitForLoadState('networkidle');
  }

  /** A screen with what is worked out for it. */
  async function show(page, [id, step, field]) {
    await goTo(page, bench.url, id, step, field);
    if (STEPS_WITH_OPERATION.some(([name]) => name === step)) await page.locator('.what-if-answer table').first().waitFor({ timeout: 60_000 });
  }

  for (const colorScheme of ['light', 'dark']) {
    it(`has no fault that axe-core can find, ${colorScheme}`, async () => {
      const { page, close } = await openPage(bench.browser, { colorScheme, expected: NOT_UNDER_WAY });
      await page.goto(bench.url);
      await page.locator('.job-list a').first().waitFor();
      assert.deepEqual(await accessibilityFaults(page), [], 'jobs');
      assert.equal(await page.evaluate(() => document.documentElement.dataset.theme), colorScheme);
      for (const address of await shopPages(page)) {
        await showShop(page, address);
        assert.deepEqual(await accessibilityFaults(page), [], address);
      }
      for (const screen of screens) {
        await show(page, screen);
        assert.deepEqual(await accessibilityFaults(page), [], screen.join(' '));
      }
      await close();
    });
  }

  for (const size of [{ width: 320, height: 640 }, { width: 320, height: 256 }, { width: 1280, height: 900 }]) {
    it(`needs no sideways scrolling and has targets for a thumb at ${size.width} by ${size.height}`, async () => {
      const { page, close } = await openPage(bench.browser, { viewport: size, expected: NOT_UNDER_WAY });
      await page.goto(bench.url);
      await page.locator('.job-list a').first().waitFor();
      assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= size.width, 'jobs');
      for (const address of await shopPages(page)) {
        await showShop(page, address);
        assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= size.width, `${address} scrolls sideways`);
        assert.deepEqual(await page.evaluate(smallTargets, LEAST_TARGET_PX), [], address);
      }
      for (const screen of screens) {
        await show(page, screen);
        assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= size.width, `${screen.join(' ')} scrolls sideways`);
        assert.deepEqual(await page.evaluate(smallTargets, LEAST_TARGET_PX), [], screen.join(' '));
      }
      await close();
    });
  }

  it('lets the reader choose the theme and the units, and remembers both', async () => {
    const { page, close } = await openPage(bench.browser, { colorScheme: 'light' });
    await goTo(page, bench.url, job, 'finding');
    await page.getByRole('button', { name: 'Display' }).click();
    await page.getByRole('dialog').getByLabel('Dark').check();
    assert.equal(await page.evaluate(() => document.documentElement.dataset.theme), 'dark');
    await page.getByRole('dialog').getByRole('button', { name: 'Close' }).click();
    await page.locator('#units').selectOption('thou · psi');
    await page.reload();
    await page.locator('#finding-heading').waitFor();
    assert.equal(await page.evaluate(() => document.documentElement.dataset.theme), 'dark');
    assert.equal(await page.locator('#units').inputValue(), 'thou-psi');
    await close();
  });

  it('shows the drawing, and its table twin for whoever cannot see it', async () => {
    const { page, close } = await openPage(bench.browser);
    await goTo(page, bench.url, job, 'finding');
    assert.ok(await page.locator('.plan svg title').first().textContent());
    await page.getByRole('button', { name: 'As a table' }).click();
    assert.ok((await page.getByRole('table', { name: 'Every seal path of the plan' }).getByRole('row').count()) > 1);
    await close();
  });
});
