// A face measured with the keyboard: the grid is laid out once, then nothing but heights and Enter.
import assert from 'node:assert/strict';
import { describe, it } from 'node:test';
import { accessibilityFaults, goTo, isSaved, openPage, until, workbenchForStories } from './workbench.mjs';

const OUTLINE = [[0, 0], [430, 0], [430, 170], [0, 170]];

/** A job whose engine has a deck to lay a grid on. */
async function jobWithDeck(bench, more = {}) {
  const words = new URLSearchParams({ cylinders: '4', layout: 'inline', fuel: 'petrol', title: 'head off' });
  const { document } = await bench.ask(`/new-job?${words}`);
  const engine = { ...document.engine, head: { ...document.engine.head, outline: OUTLINE, flatness_limit: '0.05 mm' } };
  return bench.newJob({ engine, head_off: true, ...more });
}

const focused = (page) => page.evaluate(() => document.activeElement?.id);
const layOut = async (page) => {
  await page.locator('#grid-columns').waitFor();
  await page.getByRole('button', { name: 'Lay out the grid' }).click();
};

describe('a face on its grid', () => {
  const bench = workbenchForStories();

  it('takes 5 x 9 heights by keyboard alone, and its verdict changes while it is typed', async () => {
    const job = await jobWithDeck(bench);
    const { page, close } = await openPage(bench.browser);
    await goTo(page, bench.url, job, 'faces');
    await layOut(page);
    await until('the first point has the focus', async () => (await focused(page)) === 'face-head-cell-1');
    // A bow along the crank: 0.01 mm a column from the middle outwards; by symmetry the minimum zone is the whole 0.04 mm.
    const path = [];
    for (let row = 0; row < 5; ++row) for (let step = 0; step < 9; ++step) path.push(row % 2 === 0 ? step : 8 - step);
    for (const [index, column] of path.entries()) {
      assert.equal(await focused(page), `face-head-cell-${index + 1}`, 'Enter follows the measuring path');
      await page.keyboard.type((0.01 * Math.abs(column - 4)).toFixed(2).replace('.', ','));
      await page.keyboard.press('Enter');
    }
    await until('the flatness is that of the bow', async () => /^0\.0400 mm/.test(await page.locator('.verdict').first().innerText()));
    assert.match(await page.locator('.verdict').first().innerText(), /Within the limit|Undecided/);
    assert.deepEqual(await accessibilityFaults(page), []);

    // One point high: the verdict follows before the field is left.
    await page.locator('#face-head-cell-23').fill('0,20');
    await until('the verdict follows what is typed', async () => /Over the limit/.test(await page.locator('.verdict').first().innerText()));
    await page.keyboard.press('Enter');
    await isSaved(page);
    const { document } = await bench.ask(`/jobs/${job}`);
    const lines = document.face[0].table.trim().split('\n');
    assert.equal(lines.length, 46);
    assert.equal(lines[0], 'point;x_mm;y_mm;z_mm');
    assert.match(lines[1], /^1;10;160;0,04$/, 'kept as typed, from the corner at the front on the right side');
    assert.ok(lines.includes('23;215;85;0,20'));
    assert.equal(document.face[0].void, undefined, 'a face that can be judged counts');
    await close();
  });

  it('is no problem for the rest of the job while it is unfinished, and blank is not zero', async () => {
    const job = await jobWithDeck(bench);
    const { page, close } = await openPage(bench.browser);
    await goTo(page, bench.url, job, 'faces');
    await layOut(page);
    await until('the first point has the focus', async () => (await focused(page)) === 'face-head-cell-1');
    for (const height of ['0.01', '0.02', '0.01']) {
      await page.keyboard.type(height);
      await page.keyboard.press('Enter');
    }
    await isSaved(page);
    await page.getByText('3 of 45 measured; a verdict needs four heights').waitFor();
    assert.equal(await page.locator('.problem-summary').count(), 0);
    assert.match(await page.locator('.steps a[href$="/faces"] .step-state').innerText(), /3 of 45/);
    await page.reload();
    await page.locator('#face-head-cell-4').waitFor();
    assert.equal(await page.locator('#face-head-cell-4').inputValue(), '', 'still blank, not zero');
    await close();
  });

  it('moves with the arrows, takes a block from a spreadsheet, turns a sign, and marks what cannot be reached', async () => {
    const job = await jobWithDeck(bench);
    const { page, close } = await openPage(bench.browser);
    await goTo(page, bench.url, job, 'faces');
    await layOut(page);
    await until('the first point has the focus', async () => (await focused(page)) === 'face-head-cell-1');
    await page.keyboard.press('ArrowRight');
    assert.equal(await focused(page), 'face-head-cell-2');
    await page.keyboard.press('ArrowDown');
    assert.equal(await focused(page), 'face-head-cell-17', 'the path turns at the end of a row');
    await page.evaluate(() => {
      const data = new DataTransfer();
      data.setData('text/plain', '0.01\t0.02\n0.03\t0.04\n');
      document.activeElement.dispatchEvent(new ClipboardEvent('paste', { clipboardData: data, bubbles: true, cancelable: true }));
    });
    await page.getByText('4 heights pasted.').waitFor();
    assert.equal(await page.locator('#face-head-cell-16').inputValue(), '0.02');
    assert.equal(await page.locator('#face-head-cell-20').inputValue(), '0.03');
    await page.getByRole('button', { name: /Turn the sign/ }).click();
    assert.equal(await page.locator('#face-head-cell-17').inputValue(), '-0.01');
    await page.getByRole('button', { name: /Not accessible/ }).click();
    assert.equal(await page.locator('#face-head-cell-17').inputValue(), 'n/a');
    await isSaved(page);
    await until('the server has it', async () => /17;61.25;122.5;inaccessible/.test((await bench.ask(`/jobs/${job}`)).document.face[0].table));
    await page.locator('.title-actions button', { hasText: 'Undo' }).click();
    assert.equal(await page.locator('#face-head-cell-17').inputValue(), '-0.01', 'undo brings the height back');
    await close();
  });

  it('shows one big field at a time on a phone', async () => {
    const job = await jobWithDeck(bench);
    const { page, close } = await openPage(bench.browser, { viewport: { width: 360, height: 740 } });
    await goTo(page, bench.url, job, 'faces');
    await layOut(page);
    await until('the big field has the focus', async () => (await focused(page)) === 'face-head-one');
    await page.getByText('Point 1 of 45').waitFor();
    await page.keyboard.type('0.02');
    await page.getByRole('button', { name: /Turn the sign/ }).click();
    assert.equal(await page.locator('#face-head-one').inputValue(), '-0.02');
    await page.getByRole('button', { name: 'Next', exact: true }).click();
    await page.getByText('Point 2 of 45').waitFor();
    await page.getByRole('button', { name: 'Skip', exact: true }).click();
    await page.getByRole('button', { name: 'Not accessible' }).click();
    await page.getByText('Point 4 of 45').waitFor();
    await page.getByRole('button', { name: 'Back', exact: true }).click();
    await page.getByText('Point 2 of 45').waitFor();
    await page.keyboard.type('0.03');
    await page.keyboard.press('Enter');
    await page.getByText('Point 4 of 45').waitFor();
    await isSaved(page);
    await until('the server has it', async () => /\n1;10;160;-0\.02\n2;61\.25;160;0\.03\n3;112\.5;160;inaccessible\n/.test((await bench.ask(`/jobs/${job}`)).document.face[0].table));
    assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= 360);
    assert.deepEqual(await accessibilityFaults(page), []);
    await close();
  });

  it('asks for what it needs when there is no deck to go by', async () => {
    const job = await bench.newJob({ head_off: true });
    const { page, close } = await openPage(bench.browser);
    await goTo(page, bench.url, job, 'faces');
    await layOut(page);
    await until('the focus is at the first field that lacks something', async () => (await focused(page)) === 'grid-columnSpacing');
    for (const [field, value] of [['columnSpacing', '100'], ['rowSpacing', '37,5'], ['firstX', '10'], ['firstY', '10']]) await page.locator(`#grid-${field}`).fill(value);
    await page.locator('#grid-columns').fill('5');
    await layOut(page);
    await page.locator('#face-head-cell-25').waitFor();
    await close();
  });
});
