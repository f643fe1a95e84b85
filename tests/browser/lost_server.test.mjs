// The server dies while the mechanic goes on: nothing may be lost.
import assert from 'node:assert/strict';
import { describe, it } from 'node:test';
import { accessibilityFaults, canStopServer, goTo, isSaved, openPage, savedLine, until, workbenchForStories } from './workbench.mjs';

const REFUSED = [/ERR_CONNECTION_REFUSED/, /ERR_CONNECTION_RESET/, /ERR_EMPTY_RESPONSE/];

describe('a server that goes away', { skip: canStopServer ? false : 'the server given cannot be stopped' }, () => {
  const bench = workbenchForStories();

  it('loses nothing that was typed, and all is saved after it is back', async () => {
    const job = await bench.newJob();
    const { page, close } = await openPage(bench.browser, { expected: REFUSED });
    await goTo(page, bench.url, job, 'checks', 'check-compression');
    await page.locator('#reading-compression-1').fill('12,1');
    await page.locator('#reading-compression-1').press('Enter');
    await isSaved(page);
    const port = bench.port;
    await page.keyboard.type('9.');
    await bench.kill();
    await page.keyboard.type('4');
    await page.keyboard.press('Enter');
    await page.keyboard.type('9.3');
    await page.keyboard.press('Enter');
    await page.getByText('The server does not answer').waitFor();
    assert.equal(await savedLine(page), 'not saved, will retry');
    assert.deepEqual(await accessibilityFaults(page), []);
    await page.getByRole('link', { name: /Complaint/ }).click();
    await page.locator('#sign-milky_oil').getByText('Absent', { exact: true }).click();

    await bench.start(port);
    await isSaved(page);
    await until('the server has it all', async () => {
      const { document } = await bench.ask(`/jobs/${job}`);
      return JSON.stringify(document.reading?.[0]?.values) === '["12,1 bar","9.4 bar","9.3 bar",""]' && document.signs?.milky_oil === 'absent';
    });
    await close();
  });

  it('keeps what was typed also when the page is closed before the server is back', async () => {
    const job = await bench.newJob();
    const { page, close } = await openPage(bench.browser, { expected: REFUSED });
    await goTo(page, bench.url, job, 'complaint');
    await isSaved(page);
    const port = bench.port;
    await bench.kill();
    await page.locator('#sign-runs_hot').getByText('Seen', { exact: true }).click();
    await until('the page says that it is not saved', async () => (await savedLine(page)) === 'not saved, will retry');
    let asked = false;
    page.on('dialog', (dialog) => {
      asked = dialog.type() === 'beforeunload';
      return dialog.accept();
    });
    await page.close({ runBeforeUnload: true });
    await until('leaving is asked about', async () => asked);
    const list = await page.context().newPage();
    await bench.start(port);
    await list.goto(bench.url);
    await list.getByRole('heading', { name: 'Not saved yet' }).waitFor();
    const again = await page.context().newPage();
    await goTo(again, bench.url, job, 'complaint');
    await until('the server has it', async () => (await bench.ask(`/jobs/${job}`)).document.signs?.runs_hot === 'seen');
    assert.ok(await again.locator('#sign-runs_hot input[value=seen]').isChecked());
    await close();
  });
});
