// Times slider moves: milliseconds from the key press on the handle to the
// new picture, decoded, in the page; in a notebook of Go cells and in one of
// Python cells. Each is timed twice. Held: the key comes up after the picture,
// as a finger holds it for longer than that. Tapped: the key comes up at once,
// as no finger can; Chromium gives no messages to a page between an input and
// the frame after it, so the release then holds up the picture on its way.
// Arguments: the server's address, its token, a folder for screenshots.
import path from 'node:path';
import * as notebook from './notebook.mjs';

const [url, token, shots] = process.argv.slice(2);
const moves = 300;
const names = { 'block.ipynb': 'patternkit', 'python.ipynb': 'ipywidgets and matplotlib' };
const browser = await notebook.launch();
try {
  for (const manner of ['held', 'tapped']) {
    const medians = [];
    for (const file in names) {
      const times = await measure(file, manner);
      medians.push(at(times, 0.5));
      console.log(`${manner}, ${names[file]}: ${moves} moves, median ${at(times, 0.5).toFixed(1)} ms, 95th percentile ${at(times, 0.95).toFixed(1)} ms`);
    }
    console.log(`${manner}: ratio of the medians ${(medians[1] / medians[0]).toFixed(1)}`);
  }
} finally {
  await browser.close();
}

// at returns a quantile of sorted numbers.
function at(sorted, quantile) {
  return sorted[Math.min(sorted.length - 1, Math.floor(quantile * sorted.length))];
}

async function measure(file, manner) {
  const page = await notebook.open(await browser.newContext({ viewport: { width: 1280, height: 1500 } }), { url, token }, file);
  await notebook.runAll(page);
  const cap = notebook.slider(page, 'cap height');
  await page.locator('.code_cell img:not(details img)').last().waitFor();
  await page.evaluate(watch);
  await cap.handle.focus();
  const times = [];
  for (let i = -5; i < moves; i++) { // the first five warm up
    // Up and down over 3 cm, so that each picture differs from the one before.
    const key = Math.floor((i + 5) / 15) % 2 ? 'ArrowRight' : 'ArrowLeft';
    await page.evaluate(() => { window.waiting = window.nextPicture(); });
    await page.keyboard.down(key);
    if (manner === 'tapped') await page.keyboard.up(key);
    const took = await Promise.race([page.evaluate(() => window.waiting), page.waitForTimeout(notebook.patience).then(() => -1)]);
    if (took < 0) throw new Error(`${file}: no new picture after move ${i}; the slider says ${await cap.readout.innerText()}`);
    if (i >= 0) times.push(took);
    if (manner === 'held') {
      await page.waitForTimeout(pause(20, 60));
      await page.keyboard.up(key);
    }
    await page.waitForTimeout(pause(30, 80));
  }
  await page.screenshot({ path: path.join(shots, file.replace('.ipynb', `-${manner}.png`)) });
  await page.context().close();
  return times.sort((a, b) => a - b);
}

// pause returns a time of at least and less than so many milliseconds, so that
// the presses keep no step with the frames or the server.
function pause(from, to) {
  return from + (to - from) * Math.random();
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
