// The engine library: an engine copied, drawn by keyboard, and from the photograph of its gasket to a file that `check` accepts.
import assert from 'node:assert/strict';
import { describe, it } from 'node:test';
import { camera, gasketPng, TARN } from './gasket_picture.mjs';
import { accessibilityFaults, openPage, until, workbenchForStories } from './workbench.mjs';

// A tap lands on a whole pixel of the screen: up to 0.14 mm off at both ends of the distance and at the corner; places are given to 0.1 mm.
const WITHIN_MM = 3 * 0.14 + 0.05;
const shots = process.env.HEADJOINT_SHOTS;

async function shoot(page, name) {
  if (shots) await page.screenshot({ path: `${shots}/photo-${name}.png`, fullPage: true });
}

async function openEngines(page, bench, ...rest) {
  await page.goto(`${bench.url}#/${['engines', ...rest].join('/')}`);
  await page.locator('#engines-heading').waitFor();
}

async function makeEngine(page, bench, name, cylinders) {
  await openEngines(page, bench);
  await page.getByLabel('Name', { exact: true }).fill(name);
  await page.getByLabel('Cylinders').fill(String(cylinders));
  await page.getByRole('button', { name: 'Make the engine' }).click();
  await page.getByRole('heading', { name: `${name}: draw the plan` }).waitFor();
  return decodeURIComponent(new URL(page.url()).hash.split('/')[2]);
}

/** A tap on the picture at that pixel of it. */
async function tap(page, [x, y], lens) {
  const picture = page.locator('.picture-taps');
  await picture.scrollIntoViewIfNeeded();
  const box = await picture.boundingBox();
  await picture.click({ position: { x: (x + 0.5) * (box.width / lens.width), y: (y + 0.5) * (box.height / lens.height) } });
}

const marks = (page, what) => page.getByLabel('A tap marks').selectOption(what);

async function sendPicture(page, bytes, name = 'old gasket.png') {
  await page.getByLabel('Photograph or scan, JPEG or PNG').setInputFiles({ name, mimeType: 'image/png', buffer: bytes });
}

const saved = (page) => page.getByRole('status').filter({ hasText: 'Saved.' }).waitFor();

async function fileOf(bench, id) {
  const response = await fetch(new URL(`api/v1/engines/${encodeURIComponent(id)}/export?format=toml`, bench.url));
  assert.ok(response.ok);
  return response.text();
}

async function checked(bench, text) {
  return bench.ask('/check', { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify({ input: text, source: 'engine.toml' }) });
}

async function documentOf(bench, id) {
  return (await bench.ask(`/engines/${encodeURIComponent(id)}`)).document;
}

describe('the engine library', () => {
  const bench = workbenchForStories();

  it('copies a similar engine and shows what it is complete enough for', async () => {
    const { page, close } = await openPage(bench.browser);
    await openEngines(page, bench);
    const engines = (await bench.ask('/engines')).engines;
    assert.ok(engines.length > 0, 'the shipped engines are there');
    await page.getByLabel('Name', { exact: true }).fill('Marlow 1.6 with a bigger bore');
    await page.getByLabel('Start from').selectOption({ label: `a copy of ${engines[0].name}` });
    await shoot(page, 'library');
    await page.getByRole('button', { name: 'Make the engine' }).click();
    await page.getByRole('heading', { name: 'Marlow 1.6 with a bigger bore' }).waitFor();
    await page.getByText('calculations can run').waitFor();
    await page.locator('.engine-file', { hasText: 'Marlow 1.6 with a bigger bore' }).waitFor();
    await shoot(page, 'sheet');
    assert.deepEqual(await accessibilityFaults(page), []);
    await close();
  });

  it('is drawn by keyboard alone, with decimal commas, and taken back', async () => {
    // Half a plan may be one that no engine can have: what it is complete enough for is refused in words.
    const { page, close } = await openPage(bench.browser, { expected: [/status of 422/] });
    const id = await makeEngine(page, bench, 'Keyed 0.8', 2);
    const rows = await page.locator('#bore-title').locator('..').locator('tbody tr').count();
    await page.locator('#bore-add').focus();
    for (let row = rows; row < 2; row += 1) await page.keyboard.press('Enter');
    await page.locator('#bore-1-x').focus();
    const type = async (text) => {
      await page.keyboard.press('Control+A');
      await page.keyboard.type(text);
      await page.keyboard.press('Enter');
    };
    await type('60,5');
    await type('80');
    await page.keyboard.press('Enter'); // past the number
    await type('150');
    await page.keyboard.type('80');
    await page.locator('#bolt-add').focus();
    await page.keyboard.press('Enter');
    for (const text of ['15', '15', '200', '15', '200', 'wide']) await type(text);
    await page.locator('.problem-summary', { hasText: 'Bolt 3, y: "wide" is not a number' }).waitFor();
    await page.locator('#bolt-3-y').fill('150');
    await page.getByRole('button', { name: 'Save the plan' }).press('Enter');
    await saved(page);
    const document = await documentOf(bench, id);
    assert.deepEqual(document.bore.map((bore) => bore.at), [[60.5, 80], [150, 80]]);
    assert.deepEqual(document.bolts.at.slice(0, 3), [[15, 15], [200, 15], [200, 150]]);
    await page.getByRole('button', { name: 'Undo', exact: true }).click();
    assert.equal(await page.locator('#bolt-3-y').inputValue(), 'wide');
    await page.getByRole('button', { name: 'Redo' }).click();
    assert.equal(await page.locator('#bolt-3-y').inputValue(), '150');
    await close();
  });

  it('goes from the photograph of a gasket to an engine file that check accepts', async () => {
    const { page, close } = await openPage(bench.browser);
    const id = await makeEngine(page, bench, 'Tarn 1.1', 3);
    const lens = camera({});
    await sendPicture(page, gasketPng(lens));
    await page.getByText('The picture is kept with the engine.').waitFor();
    await marks(page, 'distance');
    for (const [a, b, text] of [[0, 3, '252'], [0, 4, '116,0 mm']]) {
      await tap(page, lens.see(TARN.bolts[a]), lens);
      await tap(page, lens.see(TARN.bolts[b]), lens);
      await page.keyboard.type(text);
      await page.keyboard.press('Tab');
    }
    for (const [kind, holes] of [['bore', TARN.bores], ['bolt', TARN.bolts], ['coolant', TARN.coolant], ['oil_pressure', TARN.oil]]) {
      await marks(page, kind);
      for (const hole of holes) {
        const [x, y] = lens.see(hole);
        await tap(page, [x + 6, y - 5], lens);
      }
    }
    await marks(page, 'outline');
    for (const corner of [[0, 0], [TARN.width, 0], [TARN.width, TARN.depth], [0, TARN.depth]]) await tap(page, lens.see(corner), lens);
    await page.getByText('18 of 18 circles on the plan.').waitFor();
    await shoot(page, 'taps');
    assert.deepEqual(await accessibilityFaults(page), []);
    await page.getByRole('button', { name: 'Put what was found on the plan' }).click();
    await page.getByRole('button', { name: 'Save the plan' }).click();
    await saved(page);
    await shoot(page, 'drawn');

    const document = await documentOf(bench, id);
    const near = (at, truth, what) => truth.forEach((value, side) => assert.ok(Math.abs(at[side] - value) < WITHIN_MM, `${what}: ${at} instead of ${truth}`));
    TARN.bores.forEach((at, index) => near(document.bore[index].at, at, `bore ${index + 1}`));
    TARN.bolts.forEach((at, index) => near(document.bolts.at[index], at, `bolt ${index + 1}`));
    TARN.coolant.forEach(([x, y], index) => near(document.passage[index].at, [x, y], `passage ${index + 1}`));
    assert.ok(Math.abs(Number.parseFloat(document.gasket.bore.value) - TARN.bore) < WITHIN_MM, document.gasket.bore.value);
    const answer = await checked(bench, await fileOf(bench, id));
    assert.equal(answer.kind, 'engine');
    assert.deepEqual(answer.problems.filter((problem) => problem.severity === 'error'), []);

    await page.reload();
    await page.locator('.tap-rim').first().waitFor();
    assert.equal(await page.locator('.tap-rim').count(), 18, 'picture and taps are still there');
    await close();
  });

  it('corrects a tap by dragging, takes it back, and taps with the keyboard', async () => {
    const { page, close } = await openPage(bench.browser);
    await makeEngine(page, bench, 'Tarn 1.1 again', 3);
    const lens = camera({});
    await sendPicture(page, gasketPng(lens));
    await page.getByText('The picture is kept with the engine.').waitFor();
    await tap(page, lens.see(TARN.bolts[0]), lens);
    await tap(page, lens.see(TARN.bolts[3]), lens);
    await page.keyboard.type('252');
    await page.keyboard.press('Tab');
    await marks(page, 'bolt');
    const beside = lens.see([40, 50]);
    await tap(page, beside, lens);
    await page.locator('.places td', { hasText: 'not found' }).or(page.locator('.places td', { hasText: 'seen' })).first().waitFor();
    const picture = page.locator('.picture-taps');
    const box = await picture.boundingBox();
    const onScreen = ([x, y]) => [box.x + (x + 0.5) * (box.width / lens.width), box.y + (y + 0.5) * (box.height / lens.height)];
    await page.mouse.move(...onScreen(beside));
    await page.mouse.down();
    await page.mouse.move(...onScreen(lens.see([30, 40])), { steps: 3 });
    await page.mouse.move(...onScreen(lens.see(TARN.bolts[4])), { steps: 3 });
    await page.mouse.up();
    await page.locator('.places td', { hasText: /^found$/ }).waitFor();
    await page.getByRole('button', { name: 'Undo the tap' }).click();
    await until('the tap is back where it was', async () => (await page.locator('.places td', { hasText: /^found$/ }).count()) === 0);

    await page.reload();
    await picture.waitFor();
    await marks(page, 'bore');
    await picture.focus();
    await page.keyboard.press('Enter'); // the cross begins in the middle: bore 2
    await page.locator('.places tr', { hasText: 'bore 1' }).locator('td', { hasText: /^found$/ }).waitFor();
    await close();
  });

  it('says in words why a file is no picture', async () => {
    const { page, close } = await openPage(bench.browser, { expected: [/status of 4\d\d/] });
    await makeEngine(page, bench, 'No picture', 1);
    await sendPicture(page, Buffer.from('<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'), 'gasket.png');
    await page.locator('.field-problem', { hasText: 'no photograph' }).waitFor();
    await sendPicture(page, gasketPng(camera({ width: 300, height: 180, focal: 320 })).subarray(0, 900), 'cut short.png');
    await page.locator('.field-problem', { hasText: 'cut short' }).waitFor();
    await close();
  });

  for (const [theme, width] of [['light', 320], ['dark', 1280]]) {
    it(`fits ${width} px in ${theme}`, async () => {
      const { page, close } = await openPage(bench.browser, { viewport: { width, height: 800 }, colorScheme: theme });
      const id = await makeEngine(page, bench, `Tarn ${theme}`, 3);
      const lens = camera({ tilt: 0.3 });
      await sendPicture(page, gasketPng(lens));
      await page.getByText('The picture is kept with the engine.').waitFor();
      await marks(page, 'bore');
      for (const bore of TARN.bores) await tap(page, lens.see(bore), lens);
      for (const screen of [[id, 'draw'], [id], []]) {
        await openEngines(page, bench, ...screen);
        await page.waitForTimeout(400);
        const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
        assert.ok(over <= 0, `${screen.join('/')} is ${over} px too wide`);
        assert.deepEqual(await accessibilityFaults(page), []);
        await shoot(page, `${theme}-${width}-${screen[1] ?? (screen.length === 0 ? 'library' : 'sheet')}`);
      }
      await close();
    });
  }
});
