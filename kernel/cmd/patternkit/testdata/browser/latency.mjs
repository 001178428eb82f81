// Times slider moves: milliseconds from the key press on the handle to the
// new picture, decoded, in the page. First in a notebook of Go cells, then in
// one of Python cells. Arguments: the server's address, its token, a folder
// for screenshots.
import path from 'node:path';
import * as notebook from './notebook.mjs';

const [url, token, shots] = process.argv.slice(2);
const moves = 300;
const browser = await notebook.launch();
try {
  const go = await measure('block.ipynb'), python = await measure('python.ipynb');
  for (const [name, times] of [['patternkit', go], ['ipywidgets and matplotlib', python]]) {
    console.log(`${name}: ${moves} moves, median ${at(times, 0.5).toFixed(1)} ms, 95th percentile ${at(times, 0.95).toFixed(1)} ms`);
  }
  console.log(`ratio of the medians ${(at(python, 0.5) / at(go, 0.5)).toFixed(1)}`);
} finally {
  await browser.close();
}

// at returns a quantile of sorted numbers.
function at(sorted, quantile) {
  return sorted[Math.min(sorted.length - 1, Math.floor(quantile * sorted.length))];
}

async function measure(name) {
  const page = await notebook.open(await browser.newContext({ viewport: { width: 1280, height: 1500 } }), { url, token }, name);
  await notebook.runAll(page);
  const cap = notebook.slider(page, 'cap height');
  await page.locator('.code_cell img:not(details img)').last().waitFor();
  await page.evaluate(watch);
  await cap.handle.focus();
  const times = [];
  for (let i = -5; i < moves; i++) { // the first five warm up
    // Up and down over 3 cm, so that each picture differs from the one before.
    await page.evaluate(() => { window.waiting = window.nextPicture(); });
    await page.keyboard.press(Math.floor((i + 5) / 15) % 2 ? 'ArrowRight' : 'ArrowLeft');
    const took = await Promise.race([page.evaluate(() => window.waiting), page.waitForTimeout(notebook.patience).then(() => -1)]);
    if (took < 0) throw new Error(`${name}: no new picture after move ${i}; the slider says ${await cap.readout.innerText()}`);
    if (i >= 0) times.push(took);
    await page.waitForTimeout(30 + 40 * (i & 1)); // as a hand would, not in step with the server
  }
  await page.screenshot({ path: path.join(shots, name.replace('.ipynb', '.png')) });
  await page.context().close();
  return times.sort((a, b) => a - b);
}

// watch runs in the page. nextPicture gives the time from the next key press
// to the first image that differs from the one now in the page.
function watch() {
  const newest = () => [...document.querySelectorAll('.code_cell img[src^="data:"]:not(details img)')].at(-1);
  window.nextPicture = () => new Promise(resolve => {
    const before = newest().src;
    let pressed;
    document.addEventListener('keydown', () => { pressed = performance.now(); }, { capture: true, once: true });
    const observer = new MutationObserver(async () => {
      const image = newest();
      if (!image || image.src === before || pressed === undefined) return;
      observer.disconnect();
      await image.decode().catch(() => {});
      resolve(performance.now() - pressed);
    });
    observer.observe(document.body, { childList: true, subtree: true, attributes: true, attributeFilter: ['src'] });
  });
}
