// One job from the complaint to the papers, as a mechanic takes it who has not read anything.
import assert from 'node:assert/strict';
import { describe, it } from 'node:test';
import { canStopServer, goTo, hasOperation, isSaved, openPage, until, workbenchForStories } from './workbench.mjs';

const NOT_UNDER_WAY = [/status of 404/];
const stateOf = (page, step) => page.locator(`.steps a[href$="/${step}"] .step-state`).innerText();

/** Heights of nine columns and five rows in hundredths: a hollow between cylinders 2 and 3. */
function heights() {
  const rows = Array.from({ length: 5 }, (_, row) => Array.from({ length: 9 }, (_, column) => (-0.09 * Math.exp(-((column - 4) ** 2) / 4 - ((row - 2) ** 2) / 3)).toFixed(3).replace('.', ',')));
  return rows.map((row) => row.join('\t')).join('\n');
}

async function paste(page, text) {
  await page.evaluate((block) => {
    const data = new DataTransfer();
    data.setData('text/plain', block);
    document.activeElement.dispatchEvent(new ClipboardEvent('paste', { clipboardData: data, bubbles: true, cancelable: true }));
  }, text);
}

describe('a whole job', { skip: canStopServer ? false : 'needs the demo engines of a fresh workbench' }, () => {
  const bench = workbenchForStories();

  it('goes from the complaint to the papers', async () => {
    const { page, close } = await openPage(bench.browser, { expected: NOT_UNDER_WAY });
    await page.goto(bench.url);
    await page.getByLabel('Job number').fill('0301');
    await page.getByLabel('Complaint in one line').fill('lost power on a hill, two cylinders dead');
    await page.getByLabel('Engine', { exact: true }).selectOption('Marlow 1.6');
    await page.getByRole('button', { name: 'Make the job' }).click();
    await page.locator('#complaint-heading').waitFor();
    const job = /jobs\/([^/]+)/.exec(page.url())[1];

    await page.locator('#sign-power_lost').getByText('Seen', { exact: true }).click();
    await page.locator('#sign-milky_oil').getByText('Absent', { exact: true }).click();
    await page.locator('#sign-coolant_lost').getByText('Absent', { exact: true }).click();
    await isSaved(page);
    assert.match(await stateOf(page, 'complaint'), /3 of \d+/);

    await page.locator('.steps a[href$="/checks"]').click();
    await page.locator('#check-compression summary').click();
    await page.locator('#reading-compression-1').focus();
    for (const reading of ['12,1', '9.4', '9.3', '12.2']) {
      await page.keyboard.type(reading);
      await page.keyboard.press('Enter');
    }
    await page.locator('#check-air_at_neighbour summary').click();
    await page.locator('#sign-air_at_neighbour-2-3').getByText('Seen', { exact: true }).click();
    await isSaved(page);
    await page.locator('.say', { hasText: 'between cylinders 2 and 3' }).waitFor();
    await page.locator('.glance-plan svg').waitFor();

    await page.locator('.steps a[href$="/decision"]').click();
    await page.getByLabel('What is to be done').fill('lift the head');
    await page.getByLabel('Why', { exact: true }).fill('gas passes between 2 and 3');
    await page.getByRole('button', { name: 'Note the decision' }).click();
    await until('the decision is done', async () => /done/.test(await stateOf(page, 'decision')));
    await page.locator('.steps a[href$="/checks"]').click();
    await page.getByLabel('The head is off').check();

    await page.locator('.steps a[href$="/faces"]').click();
    await page.locator('#faces-heading').waitFor();
    await page.locator('#face-block').fill(`x_mm;y_mm;z_mm\n${Array.from({ length: 45 }, (_, index) => `${20 + 48 * (index % 9)};${10 + 35 * Math.floor(index / 9)};`).join('\n')}\n`);
    await page.getByRole('button', { name: 'Take these points' }).click();
    await page.getByRole('button', { name: 'As a grid' }).click();
    await page.locator('.lattice td input').first().focus();
    await paste(page, heights());
    await isSaved(page);
    await until('45 are measured', async () => /45 of 45/.test(await page.locator('.face-points').innerText()));
    await until('a verdict on the face', async () => /\d mm/.test(await page.locator('.face-verdict .verdict').first().innerText().catch(() => '')));

    await page.locator('.steps a[href$="/machining"]').click();
    await page.locator('#cut-head').fill('0,10');
    await page.locator('#cut-head').press('Enter');
    await isSaved(page);
    await page.locator('.what-if-answer table').first().waitFor();
    await page.getByRole('button', { name: 'Set aside to compare' }).click();
    await page.locator('#cut-head').fill('0,15');
    await page.locator('#cut-head').press('Enter');
    await until('both cuts stand side by side', async () => /differs/.test(await page.locator('section', { hasText: 'Side by side' }).last().innerText().catch(() => '')));

    if (await hasOperation(bench, 'clamp')) {
      await page.locator('.steps a[href$="/clamp"]').click();
      await page.locator('.what-if-answer table').first().waitFor({ timeout: 60_000 });
      await page.getByRole('button', { name: 'Before and after the cut' }).click();
      await page.locator('#clamp-compare-title').waitFor();
      await until('the cut changes the load', async () => /[+−]\d/.test(await page.locator('section', { has: page.locator('#clamp-compare-title') }).innerText()));
      await page.getByLabel('The joint has been judged by its clamping').check();
      await page.locator('.steps a[href$="/tightening"]').click();
      await page.getByRole('table', { name: /each bolt after each pass/ }).waitFor({ timeout: 60_000 });
      await page.getByLabel('The head is tightened').check();
      await until('it is done', async () => /done/.test(await stateOf(page, 'tightening')));
    }

    await page.locator('.steps a[href$="/papers"]').click();
    await isSaved(page);
    const [sheet] = await Promise.all([page.context().waitForEvent('page', { timeout: 90_000 }), page.getByRole('link', { name: /Open the owner/ }).click()]);
    await sheet.waitForLoadState();
    assert.match(await sheet.locator('body').innerText(), /0301/);
    assert.equal((await bench.ask(`/jobs/${job}`)).document.cut.head, '0,15 mm');
    await close();
  });

  it('clears the joint of the demo false alarm: the finding says so, and the steps behind it are not needed', async () => {
    const { page, close } = await openPage(bench.browser);
    await page.goto(bench.url);
    await page.locator('#find-job').fill('0119');
    await page.locator('.job-list a', { hasText: '0119' }).click();
    await page.locator('.say', { hasText: /probably not failed/ }).waitFor();
    for (const step of ['faces', 'machining']) assert.equal(await stateOf(page, step), 'not needed');
    const job = /jobs\/([^/]+)/.exec(page.url())[1];
    await goTo(page, bench.url, job, 'papers');
    await page.getByRole('link', { name: /Open the owner/ }).waitFor();
    await close();
  });
});
