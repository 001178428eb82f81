// Drives a page of widgets in Chromium as a designer uses it: cells run, the
// cap height moved by mouse and keyboard, saved and opened again.
// The process's arguments: the server's address, its token, a folder for
// screenshots.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { launch, patience, until } from '../browser/notebook.mjs';

const [url, token, shots] = process.argv.slice(2);
const here = import.meta.dirname;
let files, browser;

// drive makes the page with the packages and the manager.mjs of a folder.
// expected says which errors the page may report; inject names files whose
// exports take the place of global names.
export async function drive(build, folder, { expected, inject = [] } = {}) {
  files = await bundle(build, folder, inject);
  browser = await launch();
  try {
    const page = await open(expected);
    for (const id of ['body', 'block', 'walk']) await run(page, id);
    await checkOutputs(page);
    await moveLarge(page);
    const last = await moveSliders(page);
    await saveAndOpen(page, last);
    assert.deepEqual(page.complaints, [], 'errors of the page');
  } finally {
    await browser.close();
  }
}

// bundle makes the page's files, by name.
async function bundle(build, folder, inject) {
  const made = await build({
    entryPoints: [path.join(here, 'page.mjs')], bundle: true, write: false, outdir: here, format: 'esm', logLevel: 'error',
    nodePaths: [path.join(folder, 'node_modules')], alias: { manager: path.join(folder, 'manager.mjs') }, inject,
    loader: Object.fromEntries(['.svg', '.png', '.woff', '.woff2', '.ttf', '.eot'].map(ending => [ending, 'dataurl'])),
    define: { 'process.env.NODE_ENV': '"production"', 'process.env': '{}', global: 'window' },
  });
  const files = new Map(made.outputFiles.map(file => [path.basename(file.path), file.contents]));
  const options = JSON.stringify({ server: url, token, notebook: 'block.ipynb' });
  files.set('page.html', (await readFile(path.join(here, 'page.html'), 'utf8')).replace('OPTIONS', () => options));
  return files;
}

// open shows the page as if the server had it: its kernels and contents are
// the real ones, reached from the same origin. The browser has to be told that
// a page from nowhere may reach this machine.
async function open(expected) {
  const context = await browser.newContext({ viewport: { width: 1200, height: 1400 }, permissions: ['local-network-access'] });
  const page = await context.newPage();
  page.setDefaultTimeout(patience);
  page.complaints = [];
  const complain = text => expected?.test(text) || page.complaints.push(text);
  page.on('pageerror', error => complain(String(error)));
  page.on('console', message => message.type() === 'error' && complain(message.text()));
  const types = { '.html': 'text/html', '.js': 'text/javascript', '.css': 'text/css' };
  await page.route(`${url}page/*`, route => {
    const name = path.basename(new URL(route.request().url()).pathname);
    return files.has(name)
      ? route.fulfill({ contentType: types[path.extname(name)], body: Buffer.from(files.get(name)) })
      : route.fulfill({ status: 404 });
  });
  await page.goto(`${url}page/page.html`);
  await ready(page);
  return page;
}

async function ready(page) {
  await until('the page is ready', async () => {
    assert.deepEqual(page.complaints, [], 'errors of the page');
    return await page.evaluate(() => document.body.dataset.ready) === 'yes';
  });
}

async function run(page, id) {
  await page.click(`#${id} > button`);
  await page.locator(`#${id}:not([data-state=runs])[data-state]`).waitFor();
  assert.equal(await page.getAttribute(`#${id}`, 'data-state'), 'ok', `cell ${id}`);
}

function shoot(page, name) {
  return page.screenshot({ path: path.join(shots, name), fullPage: true });
}

function slider(page, label) {
  const row = page.locator('#block .widget-hslider', { has: page.locator('.widget-label', { hasText: label }) });
  return { row, label: row.locator('.widget-label'), handle: row.locator('.noUi-handle, .ui-slider-handle'), track: row.locator('.noUi-base, .ui-slider'),
    readout: row.locator('.widget-readout') };
}

// picture describes the drawing of the block: its data, its size on the page
// and the words in it.
async function picture(page) {
  const image = page.locator('#block .jp-OutputArea-output img:not(details img)').last();
  await image.waitFor();
  return image.evaluate(async image => {
    await image.decode();
    const box = image.getBoundingClientRect();
    const source = new TextDecoder().decode(Uint8Array.from(atob(image.src.split('data:image/svg+xml;base64,')[1]), c => c.charCodeAt(0)));
    const words = [...new DOMParser().parseFromString(source, 'image/svg+xml').querySelectorAll('text')].map(text => text.textContent);
    return { src: image.src, alt: image.alt, width: box.width, natural: image.naturalWidth, words };
  });
}

// underarm is the length that the picture gives for the sleeve's underarm.
function underarm(shown) {
  return shown.words.map(w => /underarm ([\d.]+) cm/.exec(w)?.[1]).find(Boolean);
}

async function checkOutputs(page) {
  await shoot(page, '1-ran.png');
  for (const label of ['bust ease', 'cap height']) {
    const parts = slider(page, label);
    assert.equal(await parts.row.count(), 1, `one slider ${label}`);
    const overflow = await parts.label.evaluate(e => e.scrollWidth - e.clientWidth);
    assert.ok(overflow <= 0, `the label ${label} is cut off by ${overflow} px`);
  }
  const shown = await picture(page);
  assert.ok(shown.natural > 0 && shown.width > 300 && shown.alt, JSON.stringify({ ...shown, src: '' }));
  for (const id of ['body', 'walk']) assert.ok(await page.locator(`#${id} table tr`).count() > 3, `the table of ${id}`);
}

// moved waits for another picture than before, and until it is the last: the
// kernel sends it once more when the slider has rested for 300 ms.
async function moved(page, before) {
  let now;
  await until('the picture changes', async () => (now = await picture(page)).src !== before.src);
  for (let calm = 0; calm < 12;) {
    await page.waitForTimeout(50);
    const next = await picture(page);
    calm = next.src === now.src ? calm + 1 : 0;
    now = next;
  }
  await run(page, 'walk');
  const row = await page.locator('#walk tr', { hasText: 'underarm' }).innerText();
  const length = Number(underarm(now)).toFixed(2);
  assert.ok(row.includes(length), `the picture says ${length} cm, the table ${row}`);
  return now;
}

// The line under the sliders opens the drawing large, by keyboard too; it
// follows the slider then, and stays where it was scrolled to.
async function moveLarge(page) {
  const line = page.locator('#block .widget-html-content summary'), cap = slider(page, 'cap height');
  const small = await picture(page);
  assert.equal(await page.locator('#block summary:visible').count(), 1, 'one line that opens the drawing');
  await line.press('Enter');
  await until('the drawing is large', async () => (await picture(page)).width > 2 * small.width);
  const scrolled = page.locator('#block .jp-OutputArea-output', { has: page.locator('img') });
  await scrolled.evaluate(e => { e.scrollLeft = 300; });
  await cap.handle.press('ArrowRight');
  const large = await moved(page, small);
  assert.ok(large.width > 2 * small.width, `it is ${large.width} wide when it has moved, was ${small.width}`);
  assert.equal(await scrolled.evaluate(e => e.scrollLeft), 300);
  await shoot(page, '2-large.png');
  await cap.handle.press('ArrowLeft');
  await moved(page, large);
  await line.press('Enter');
  assert.equal((await picture(page)).width, small.width);
}

async function moveSliders(page) {
  const cap = slider(page, 'cap height'), value = async () => Number(await cap.readout.innerText());
  const first = await picture(page);
  assert.equal(await value(), 13);
  await cap.row.scrollIntoViewIfNeeded();

  // By mouse: a fifth of the track to the left, in steps as a hand makes them.
  const handle = await cap.handle.boundingBox(), track = await cap.track.boundingBox();
  const x = handle.x + handle.width / 2, y = handle.y + handle.height / 2;
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x - track.width / 5, y, { steps: 12 });
  await page.mouse.up();
  const dragged = await moved(page, first), afterDrag = await value();
  assert.ok(afterDrag > 10.5 && afterDrag < 11.5, `dragged to ${afterDrag}`);
  await shoot(page, '3-dragged.png');

  // By keyboard: one millimetre for each press.
  for (let i = 0; i < 5; i++) await cap.handle.press('ArrowRight');
  const pressed = await moved(page, dragged);
  assert.equal(await value(), Math.round(10 * afterDrag + 5) / 10);
  assert.notEqual(underarm(pressed), underarm(dragged));

  // Where no sleeve can be drafted the view says so, and comes back.
  await cap.handle.press('End');
  await page.locator('#block .jp-OutputArea-output', { hasText: 'Not drawn' }).waitFor();
  await shoot(page, '4-not-drawn.png');
  await cap.handle.press('Home');
  const lowest = await moved(page, pressed);
  assert.equal(await value(), 8);
  await shoot(page, '5-lowest.png');
  return lowest;
}

// What is saved holds the last drawing. A page that is opened again finds the
// sliders in the kernel, where they were left, and a drawing that follows them.
async function saveAndOpen(page, last) {
  await page.click('#save');
  await page.locator('#save[data-saved=yes]').waitFor();
  await page.reload();
  await ready(page);
  assert.equal((await picture(page)).src, last.src, 'the saved picture is not the last one');
  const cap = slider(page, 'cap height'), copy = page.locator('#block .widget-html-content img:not(details img)');
  assert.equal(Number(await cap.readout.innerText()), 8);
  await shoot(page, '6-reopened.png');

  await cap.handle.press('ArrowRight');
  await copy.waitFor();
  const first = await copy.getAttribute('src');
  assert.notEqual(first, last.src);
  await cap.handle.press('ArrowRight');
  await until('the copy of the drawing changes', async () => await copy.getAttribute('src') !== first);
  assert.ok(await copy.evaluate(async image => { await image.decode(); return image.naturalWidth > 300; }), 'the copy of the drawing');
  assert.equal(await page.locator('#block .widget-html-content', { hasText: 'opened after the cell had run' }).count(), 1);
  await shoot(page, '7-moved-again.png');

  await run(page, 'block');
  assert.equal(await copy.count(), 0, 'the copy stays after the cell has run');
  const again = await picture(page);
  await slider(page, 'cap height').handle.press('ArrowLeft');
  await moved(page, again);
}
