// What is typed: comma and point, units there and back, slips that are doubted, and junk that must harm nothing.
import assert from 'node:assert/strict';
import { describe, it } from 'node:test';
import { accessibilityFaults, goTo, isSaved, openPage, until, workbenchForStories } from './workbench.mjs';

const REFUSED = [/status of 422/, /status of 413/];
const stored = async (bench, job) => (await bench.ask(`/jobs/${job}`)).document;
const valuesOf = async (bench, job) => (await stored(bench, job)).reading?.[0]?.values;

async function typeReadings(page, readings) {
  await page.locator('#reading-compression-1').focus();
  for (const reading of readings) {
    await page.keyboard.press('ControlOrMeta+A');
    await page.keyboard.type(reading);
    await page.keyboard.press('Enter');
  }
  await isSaved(page);
}

describe('entering figures', () => {
  const bench = workbenchForStories();

  it('takes a decimal comma, says how it is understood, and keeps it as typed', async () => {
    const job = await bench.newJob();
    const { page, close } = await openPage(bench.browser);
    await goTo(page, bench.url, job, 'checks', 'check-compression');
    await typeReadings(page, ['12,1', '9.4', '', '12,00']);
    assert.match(await page.locator('#reading-compression-1-note').innerText(), /= 12\.1 bar/);
    assert.equal(await page.locator('#reading-compression-2-note').innerText(), '', 'nothing to say where it was typed plainly');
    assert.deepEqual(await valuesOf(bench, job), ['12,1 bar', '9.4 bar', '', '12,00 bar'], 'blank stays blank, never zero');
    const { compression } = await bench.ask(`/jobs/${job}/assessment`);
    assert.equal(compression.cylinders.find((row) => row.cylinder === 1).reading_bar, 12.1);
    await close();
  });

  it('shows imperial units and goes back without moving a figure', async () => {
    const job = await bench.newJob();
    const { page, close } = await openPage(bench.browser);
    await goTo(page, bench.url, job, 'checks', 'check-compression');
    await typeReadings(page, ['12,1', '9.4', '9.3', '12.2']);
    const before = await valuesOf(bench, job);
    const fields = () => page.locator('#check-compression .reading input').evaluateAll((list) => list.map((field) => field.value));
    const shown = await fields();
    for (let turn = 0; turn < 5; ++turn) {
      await page.locator('#units').selectOption('thou-psi');
      // 12.1 bar / 0.0689475729 bar = 175.5 psi (NIST SP 811, appendix B)
      await page.locator('#check-compression', { hasText: '= 175 psi' }).or(page.locator('#check-compression', { hasText: '= 176 psi' })).waitFor();
      await page.locator('#units').selectOption('mm-bar');
    }
    assert.deepEqual(await valuesOf(bench, job), before);
    assert.deepEqual(await fields(), shown);
    await close();
  });

  it('doubts a lost decimal, lets the reader confirm it with a reason, and keeps the reason', async () => {
    const job = await bench.newJob();
    const { page, close } = await openPage(bench.browser, { expected: REFUSED });
    await goTo(page, bench.url, job, 'checks', 'check-compression');
    await typeReadings(page, ['12.1', '12.0', '1.2', '12.2']);
    const doubt = page.locator('.doubts', { hasText: 'cylinder 3 reads 1.2 bar' });
    await doubt.waitFor();
    assert.match(await doubt.innerText(), /[Dd]id you mean 12 bar\?/);
    assert.deepEqual(await accessibilityFaults(page), []);
    await doubt.getByRole('button', { name: /^It is right/ }).click();
    await doubt.getByRole('button', { name: 'Confirm' }).click();
    await doubt.getByText('Say in a few words').waitFor();
    await doubt.getByLabel('It is right, because').fill('valve held open by a chip');
    await doubt.getByRole('button', { name: 'Confirm' }).click();
    await isSaved(page);
    await until('the doubt is at rest', async () => (await page.locator('.doubts', { hasText: 'cylinder 3 reads' }).count()) === 0);
    assert.match((await stored(bench, job)).reading[0].note, /valve held open by a chip/);
    await close();
  });

  it('keeps junk in any field as harmless text', async () => {
    const job = await bench.newJob();
    const { page, close } = await openPage(bench.browser, { expected: REFUSED });
    await page.addInitScript(() => {
      globalThis.ran = false;
    });
    await goTo(page, bench.url, job, 'complaint');
    const junk = ['<img src=x onerror="ran=true"><script>ran=true</script>', '🔧🔩 \u202e\u0000 x', '-1', '9'.repeat(400), '{"a":1}'];
    for (const text of junk) {
      await page.locator('#job-title').fill(text);
      await page.locator('#job-title').press('Enter');
      await isSaved(page);
      assert.equal(await page.evaluate(() => globalThis.ran), false);
      assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= 1280);
    }
    await goTo(page, bench.url, job, 'checks', 'check-compression');
    for (const text of ['<script>ran=true</script>', '1e999', '-5', '🔧', '999999999']) {
      await page.locator('#reading-compression-2').fill(text);
      await page.locator('#reading-compression-2').press('Enter');
      await page.locator('#reading-compression-2[aria-invalid=true]').waitFor();
      assert.equal(await page.locator('#reading-compression-2').inputValue(), text, 'kept as typed');
    }
    await page.locator('#reading-compression-2').fill('12.1');
    await page.locator('#reading-compression-2').press('Enter');
    await until('and all is well once it is mended', async () => (await page.locator('.problem-summary').count()) === 0);
    assert.equal(await page.evaluate(() => globalThis.ran), false);
    await close();
  });

  it('takes a text of a million letters without losing the page', async () => {
    const job = await bench.newJob();
    const { page, close } = await openPage(bench.browser, { expected: [...REFUSED, /status of 4\d\d/] });
    await goTo(page, bench.url, job, 'complaint');
    await page.locator('#job-title').evaluate((field) => {
      field.value = 'x'.repeat(1_000_000);
      field.dispatchEvent(new Event('input', { bubbles: true }));
      field.blur();
    });
    await until('it says how it went', async () => /^(saved|not saved)/.test(await page.locator('.saved').innerText()));
    await page.locator('#sign-milky_oil').getByText('Absent', { exact: true }).click();
    await page.getByRole('button', { name: /^Undo/ }).click();
    await page.getByRole('button', { name: /^Undo/ }).click();
    await isSaved(page);
    assert.equal((await stored(bench, job)).title, 'runs on two cylinders after a climb');
    await close();
  });

  it('refuses files of the wrong kind in words', async () => {
    const { page, close } = await openPage(bench.browser, { expected: REFUSED });
    await page.goto(bench.url);
    for (const [name, body] of [['photo.png', Buffer.from([0x89, 0x50, 0x4e, 0x47, 0, 1, 2, 255])], ['half.toml', 'format = 1\n[engine\n'], ['engine.json', '{"name": "x"}'], ['empty.toml', '']]) {
      await page.locator('#copy-file').setInputFiles({ name, mimeType: 'application/octet-stream', buffer: Buffer.from(body) });
      await page.locator('.problem-summary').waitFor();
      assert.ok((await page.locator('.problem-summary li').first().innerText()).length > 10, name);
    }
    assert.deepEqual(await accessibilityFaults(page), []);
    await close();
  });

  it('says so when a link leads to a job that is not there', async () => {
    const { page, close } = await openPage(bench.browser, { expected: [/status of 404/] });
    await page.goto(`${bench.url}#/jobs/nonesuch/checks/sign-milky_oil`);
    await page.getByRole('heading', { name: 'There is no such job' }).waitFor();
    assert.deepEqual(await accessibilityFaults(page), []);
    await page.getByRole('link', { name: 'All jobs' }).last().click();
    await page.locator('.job-list a').first().waitFor();
    await close();
  });
});
