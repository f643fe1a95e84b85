// A recording sent to the program: read, looked at closer, and what it says entered with a tap each, never by itself.
import assert from 'node:assert/strict';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { after, describe, it } from 'node:test';
import { fileURLToPath } from 'node:url';
import { accessibilityFaults, canStopServer, demoJob, goTo, hasOperation, isSaved, openPage, until, workbenchForStories } from './workbench.mjs';

const examples = join(dirname(fileURLToPath(import.meta.url)), '../../data/examples');
const starter = join(examples, '0117-starter.csv');
// A calculation that is over, or has not begun, is not known by its name: the browser notes that on its console.
const NOT_UNDER_WAY = [/status of 404/];

const jointFailed = async (bench, job) => (await bench.ask(`/jobs/${job}/assessment`)).finding.joint_failed.value;

/** The part of the checks that takes a recording, with a file in it. */
async function chooseFile(page, bench, job, file) {
  await goTo(page, bench.url, job, 'checks', 'check-recording');
  await page.locator('#recording-file').setInputFiles(file);
}

async function readStarter(page) {
  await page.getByText('What the file does not say itself').click();
  await page.locator('#recording-sync').fill('ignition 1');
  await page.getByRole('button', { name: 'Read the recording' }).click();
  await page.locator('.recording-sentence').waitFor();
}

describe('a recording', { skip: canStopServer ? false : 'needs the demo engine of a fresh workbench' }, () => {
  const bench = workbenchForStories();
  const folder = mkdtempSync(join(tmpdir(), 'headjoint-recordings-'));
  after(() => rmSync(folder, { recursive: true, force: true }));

  it('of the starter names the weak cylinders on the plan, and one tap each enters them and moves the finding', async (t) => {
    if (!(await hasOperation(bench, 'trace'))) return t.skip('this program reads no traces');
    const job = await demoJob(bench, '0117', { reading: [], signs: {} });
    const before = await jointFailed(bench, job);
    const { page, close } = await openPage(bench.browser, { expected: NOT_UNDER_WAY });
    await chooseFile(page, bench, job, starter);
    await readStarter(page);
    assert.match(await page.locator('.recording-sentence').innerText(), /cylinder 3 .* and cylinder 2/);
    assert.match(await page.locator('#check-recording .picture').first().locator('svg title').textContent(), /Weak cylinders on the joint plan/);
    assert.equal(await page.locator('#check-recording .picture svg .jp-breach').count(), 2, 'two bores are ringed');
    assert.deepEqual(await accessibilityFaults(page), []);
    assert.equal((await bench.ask(`/jobs/${job}`)).revision, 1, 'nothing is entered by itself');

    for (const cylinder of [1, 2, 3, 4]) await page.getByRole('button', { name: `on cylinder ${cylinder}:` }).click();
    await isSaved(page);
    const reading = (await bench.ask(`/jobs/${job}`)).document.reading[0];
    assert.equal(reading.test, 'starter_current');
    assert.deepEqual(reading.values.map((value) => Number.parseInt(value, 10) > 90), [true, false, false, true]);
    assert.match(reading.leaks[2].area, /mm2$/);
    assert.match(reading.tool, /0117-starter\.csv, SHA-256 [0-9a-f]{16}/);
    assert.equal(await page.locator('.entered').count(), 4);
    await until('the finding has moved', async () => (await jointFailed(bench, job)) > before);
    await close();
  });

  it('is drawn at any zoom, with a table twin', async (t) => {
    if (!(await hasOperation(bench, 'trace'))) return t.skip('this program reads no traces');
    const job = await demoJob(bench, '0117');
    const { page, close } = await openPage(bench.browser, { expected: NOT_UNDER_WAY });
    await chooseFile(page, bench, job, starter);
    await readStarter(page);
    const drawing = page.locator('.trace-canvas');
    await drawing.locator('canvas').waitFor();
    const shown = () => drawing.getAttribute('aria-label');
    assert.match(await shown(), /0 s to 5\.3 s of 5\.3 s/);
    await page.getByRole('button', { name: 'Closer' }).click();
    await until('half of it is shown', async () => /1\.325 s to 3\.975 s/.test(await shown()));
    await page.getByRole('button', { name: 'Later' }).click();
    await until('it moved on', async () => /2\.65 s to 5\.3 s/.test(await shown()));
    await page.getByRole('button', { name: 'All of it' }).click();
    await drawing.scrollIntoViewIfNeeded();
    const box = await drawing.boundingBox();
    await page.mouse.move(box.x + box.width * 0.4, box.y + box.height / 2);
    await page.mouse.down();
    await page.mouse.move(box.x + box.width * 0.6, box.y + box.height / 2, { steps: 5 });
    await page.mouse.up();
    await until('dragging across looks closer', async () => !/0 s to 5\.3 s of/.test(await shown()));
    await page.locator('#check-recording .twin-fold summary', { hasText: 'As a table' }).last().click();
    await until('every compression stands in the table', async () => (await page.locator('#check-recording .twin table tr').count()) > 20);
    await close();
  });

  it('of the coolant shows its episodes and offers the signs', async (t) => {
    if (!(await hasOperation(bench, 'coolant-log'))) return t.skip('this program reads no logs');
    const job = await demoJob(bench, '0118', { signs: {}, reading: [] });
    const { page, close } = await openPage(bench.browser, { expected: NOT_UNDER_WAY });
    await chooseFile(page, bench, job, join(examples, '0118-coolant-log.csv'));
    await page.locator('#recording-kind').selectOption('coolant-log');
    await page.getByRole('button', { name: 'Read the recording' }).click();
    await page.getByText('peak at least 121 °C').waitFor();
    await page.getByText('How far from boiling').first().waitFor();
    await page.getByRole('button', { name: 'Enter seen for hotter than usual' }).click();
    await isSaved(page);
    const { document } = await bench.ask(`/jobs/${job}`);
    assert.equal(document.signs.runs_hot.state, 'seen');
    assert.match(document.signs.runs_hot.note, /0118-coolant-log\.csv/);
    assert.deepEqual(Object.keys(document.signs), ['runs_hot'], 'only what was tapped');
    assert.deepEqual(await accessibilityFaults(page), []);
    await close();
  });

  it('that is no recording is refused in words', async (t) => {
    if (!(await hasOperation(bench, 'trace'))) return t.skip('this program reads no traces');
    const job = await demoJob(bench, '0117');
    const { page, close } = await openPage(bench.browser, { expected: [/status of 422/, ...NOT_UNDER_WAY] });
    const file = join(folder, 'letter.txt');
    writeFileSync(file, 'Dear customer,\nyour engine is ready.\n');
    await chooseFile(page, bench, job, file);
    await page.getByRole('button', { name: 'Read the recording' }).click();
    await page.getByText('no line of the file’s beginning is a row of numbers').or(page.getByText("no line of the file's beginning is a row of numbers")).waitFor();
    await page.getByText('What the file does not say itself').click();
    await page.locator('#recording-rate').fill('fast');
    await page.getByRole('button', { name: 'Read the recording' }).click();
    await until('the field says so', async () => (await page.locator('#recording-rate').getAttribute('aria-invalid')) === 'true');
    await close();
  });

  it('that is long tells how far it is and can be stopped', async (t) => {
    if (!(await hasOperation(bench, 'trace'))) return t.skip('this program reads no traces');
    const job = await demoJob(bench, '0117');
    const { page, close } = await openPage(bench.browser, { expected: NOT_UNDER_WAY });
    const file = join(folder, 'long.csv');
    writeFileSync(file, `time_s,current_A\n${'0,1\n'.repeat(1 << 20)}`);
    await chooseFile(page, bench, job, file);
    const line = await page.context().newCDPSession(page);
    await line.send('Network.enable');
    await line.send('Network.emulateNetworkConditions', { offline: false, latency: 0, downloadThroughput: -1, uploadThroughput: 200_000 });
    await page.getByRole('button', { name: 'Read the recording' }).click();
    await until('it tells how far it is', async () => /Sending long\.csv: \d+ % done/.test(await page.locator('.run label').innerText()));
    await page.getByRole('button', { name: 'Stop', exact: true }).click();
    await page.getByText('Stopped.').waitFor();
    assert.equal(await page.locator('#recording-progress').count(), 0);
    await close();
  });
});
