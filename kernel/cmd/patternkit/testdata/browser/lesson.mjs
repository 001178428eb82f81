// Runs the first lesson in a browser as a pupil would: top to bottom, then the
// sliders by mouse and by keyboard, then saved and opened again.
// Arguments: the server's address, its token, a folder for screenshots.
import assert from 'node:assert/strict';
import path from 'node:path';
import * as notebook from './notebook.mjs';

const [url, token, shots] = process.argv.slice(2);
const browser = await notebook.launch();
const context = await browser.newContext({ viewport: { width: 1280, height: 1500 } });
try {
  const page = await notebook.open(context, { url, token }, '01-first-block.ipynb');
  await notebook.runAll(page);
  await checkOutputs(page);
  await moveSliders(page);
  await moveLarge(page);
  await saveAndOpen(page);
  assert.deepEqual(page.complaints, [], 'errors of the page');
} finally {
  await browser.close();
}

async function shoot(page, name, what) {
  if (what) await what.scrollIntoViewIfNeeded();
  await (what ?? page).screenshot({ path: path.join(shots, name) });
}

// Every cell ran, none warns, pictures have their whole width and tables
// their columns in line.
async function checkOutputs(page) {
  assert.equal(await page.locator('.output_error, .output_stderr').count(), 0, 'a cell fails or warns');
  const live = notebook.cell(page, 'Live(');
  const tracks = [];
  for (const label of ['bust ease', 'cap height']) {
    const parts = notebook.slider(page, label);
    tracks.push((await parts.track.boundingBox()).x);
    assert.equal(await parts.row.count(), 1, `one slider ${label}`);
    const overflow = await parts.label.evaluate(e => e.scrollWidth - e.clientWidth);
    assert.ok(overflow <= 0, `the label ${label} is cut off by ${overflow} px`);
    assert.match(await parts.readout.innerText(), /^\d+(\.\d+)?$/);
  }
  assert.equal(tracks[0], tracks[1], 'the sliders do not stand in line');
  for (const text of ['Live(', 'Chart(', 'bodice.Draft()']) {
    const shown = await notebook.picture(notebook.cell(page, text));
    assert.ok(shown.natural > 0 && shown.width > 300 && !shown.cut, `the picture of ${text}: ${JSON.stringify({ ...shown, src: '' })}`);
    assert.ok(shown.alt, `the picture of ${text} has no text for those who cannot see it`);
  }
  for (const text of ['Body{', 'draw().Walk()', 'bodice.Draft()']) {
    const table = notebook.cell(page, text).locator('.output_area table:not(details table)').last();
    const cut = await table.evaluate(t => t.getBoundingClientRect().right - t.closest('.output_subarea').getBoundingClientRect().right);
    assert.ok(cut < 1, `the table of ${text} is cut off by ${cut} px`);
  }
  assert.equal(await page.locator('.output_area a[download="pieces.svg"]').count(), 1);
  await shoot(page, '1-body.png', notebook.cell(page, 'Body{'));
  await shoot(page, '2-live.png', live);
  await shoot(page, '3-walk.png', notebook.cell(page, 'draw().Walk()'));
  await shoot(page, '4-chart.png', notebook.cell(page, 'Chart('));
  await shoot(page, '5-draft.png', notebook.cell(page, 'bodice.Draft()'));
  await shoot(page, '6-files.png', notebook.cell(page, 'Save('));
}

// underarm is the length that the picture gives for the sleeve's underarm.
function underarm(shown) {
  return shown.words.map(w => /underarm ([\d.]+) cm/.exec(w)?.[1]).find(Boolean);
}

async function moveSliders(page) {
  const live = notebook.cell(page, 'Live('), cap = notebook.slider(page, 'cap height');
  await cap.row.scrollIntoViewIfNeeded();
  const first = await notebook.picture(live);
  const value = async () => Number(await cap.readout.innerText());
  assert.equal(await value(), 13);
  assert.ok(underarm(first), `no underarm seam in the picture: ${first.words}`);

  // By mouse: a fifth of the track to the left, in steps as a hand makes them.
  const handle = await cap.handle.boundingBox(), track = await cap.track.boundingBox();
  const x = handle.x + handle.width / 2, y = handle.y + handle.height / 2;
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x - track.width / 5, y, { steps: 12 });
  await page.mouse.up();
  const dragged = await settled(page, live, first);
  const afterDrag = await value();
  assert.ok(afterDrag > 10.5 && afterDrag < 11.5, `dragged to ${afterDrag}`);
  await shoot(page, '7-dragged.png', live);
  await checkAgainstTable(page, dragged);

  // By keyboard: one millimetre for each press.
  for (let i = 0; i < 5; i++) await cap.handle.press('ArrowRight');
  const pressed = await settled(page, live, dragged);
  assert.equal(await value(), Math.round(10 * afterDrag + 5) / 10);
  assert.notEqual(underarm(pressed), underarm(dragged));
  await checkAgainstTable(page, pressed);

  // Where no sleeve can be drafted the view says so, and comes back.
  await cap.handle.press('End');
  await live.locator('.output_area', { hasText: 'Not drawn' }).waitFor();
  await shoot(page, '8-not-drawn.png', live);
  await cap.handle.press('Home');
  const lowest = await settled(page, live, pressed);
  assert.equal(await value(), 8);
  await shoot(page, '9-lowest.png', live);
  await checkAgainstTable(page, lowest);
}

// The line under the sliders opens the drawing large, by keyboard too; it
// follows the slider then, and stays where it was scrolled to.
async function moveLarge(page) {
  const live = notebook.cell(page, 'Live('), line = live.locator('.widget-area summary');
  const small = await notebook.picture(live);
  assert.equal(await live.locator('.output_area summary:visible').count(), 0, 'two lines that open the drawing');
  await line.press('Enter');
  await notebook.until('the drawing is large', async () => (await notebook.picture(live)).width > 2 * small.width);
  const scrolled = live.locator('.output');
  await scrolled.evaluate(e => { e.scrollLeft = 300; });
  await notebook.slider(page, 'cap height').handle.press('ArrowRight');
  const large = await settled(page, live, small);
  assert.ok(large.width > 2 * small.width, `it is ${large.width} wide when it has moved, was ${small.width}`);
  assert.equal(await scrolled.evaluate(e => e.scrollLeft), 300);
  await shoot(page, '10-large.png');
  await notebook.slider(page, 'cap height').handle.press('ArrowLeft');
  await settled(page, live, large);
  await line.press('Enter');
  assert.equal((await notebook.picture(live)).width, small.width);
}

// settled waits for another picture than before, and then until no more come:
// the kernel sends it once more when the slider has rested for 300 ms.
async function settled(page, cell, before) {
  let now = await notebook.changed(cell, before);
  for (let calm = 0; calm < 12;) {
    await page.waitForTimeout(50);
    const next = await notebook.picture(cell);
    calm = next.src === now.src && !await page.evaluate(() => Jupyter.notebook.kernel_busy) ? calm + 1 : 0;
    now = next;
  }
  return now;
}

// checkAgainstTable runs the seam table again, which must see the sliders as
// the picture does.
async function checkAgainstTable(page, shown) {
  const walk = notebook.cell(page, 'draw().Walk()');
  const prompt = walk.locator('.input_prompt'), before = await prompt.innerText();
  await walk.locator('.CodeMirror').click();
  await page.keyboard.press('Control+Enter');
  await notebook.until('the seam table is made again', async () => {
    const now = await prompt.innerText();
    return now !== before && /\d/.test(now);
  });
  const row = await walk.locator('.output_area tr', { hasText: 'underarm' }).innerText();
  const length = Number(underarm(shown)).toFixed(2);
  assert.ok(row.includes(length), `the picture says ${length} cm, the table ${row}`);
}

async function save(page) {
  await page.click('#menubar >> text="File"');
  await page.click('#save_checkpoint');
  await page.waitForFunction(() => !Jupyter.notebook.dirty);
}

// What is saved holds the drawing as it was last. A page that is opened again
// finds the sliders in the kernel, and the drawing follows them.
async function saveAndOpen(page) {
  const last = await notebook.picture(notebook.cell(page, 'Live('));
  const again = await reopened(page, last);
  assert.equal(underarm(again), underarm(last));
  await shoot(page, '11-reopened.png', notebook.cell(page, 'Live('));

  const live = notebook.cell(page, 'Live('), cap = notebook.slider(page, 'cap height');
  for (let i = 0; i < 7; i++) await cap.handle.press('ArrowRight');
  const moved = await settled(page, live, again);
  assert.equal(await cap.readout.innerText(), '8.7');
  assert.notEqual(underarm(moved), underarm(again));
  await checkAgainstTable(page, moved);
  await cap.handle.press('End');
  await live.locator('.output_area', { hasText: 'Not drawn' }).waitFor();
  await cap.handle.press('Home');
  const lowest = await settled(page, live, { src: '' });
  assert.equal(underarm(lowest), underarm(again));
  await cap.handle.press('ArrowRight');
  const final = await settled(page, live, lowest);
  assert.equal(await live.locator('.output_area img:not(details img)').count(), 1, 'drawings under the sliders');
  await shoot(page, '12-moved-again.png', live);
  await reopened(page, final);
  await shoot(page, '13-reopened-page.png');
}

// reopened saves, opens the page again and returns the picture there, which is
// to be the last one.
async function reopened(page, last) {
  await save(page);
  await page.reload();
  await notebook.ready(page);
  const again = await notebook.picture(notebook.cell(page, 'Live('));
  assert.equal(again.src, last.src, 'the saved picture is not the last one');
  for (const label of ['bust ease', 'cap height']) await notebook.slider(page, label).handle.waitFor();
  return again;
}
