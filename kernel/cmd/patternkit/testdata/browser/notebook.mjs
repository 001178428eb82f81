// Opens notebooks of a Jupyter notebook server (version 6) in Chromium.
import assert from 'node:assert/strict';
import { chromium } from 'playwright-core';

export const patience = 30_000; // milliseconds, for whatever the page is waited for

// launch starts Debian's Chromium.
export function launch() {
  return chromium.launch({
    executablePath: '/usr/bin/chromium',
    args: ['--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run',
      '--disable-background-networking', '--disable-component-update', '--disable-sync'],
  });
}

// open shows a notebook and waits until its kernel and the widgets are there.
// What the page itself complains of is collected in page.complaints.
export async function open(context, server, name) {
  const page = await context.newPage();
  page.setDefaultTimeout(patience);
  page.complaints = [];
  page.on('pageerror', error => page.complaints.push(String(error)));
  await page.goto(`${server.url}notebooks/${name}?token=${server.token}`);
  await ready(page);
  return page;
}

// ready waits for a loaded notebook with an idle kernel and the widgets.
export async function ready(page) {
  await page.waitForFunction(() => {
    const notebook = window.Jupyter?.notebook;
    return notebook?._fully_loaded && notebook.kernel?.is_connected() && notebook.kernel.info_reply.status === 'ok' &&
      notebook.kernel.widget_manager && !notebook.kernel_busy && document.querySelector('#kernel_indicator_icon.kernel_idle_icon');
  });
}

// runAll chooses Run All in the menu and waits for the last cell.
export async function runAll(page) {
  await page.click('#menubar >> text="Cell"');
  await page.click('#run_all_cells');
  await page.waitForFunction(() => {
    const cells = Jupyter.notebook.get_cells().filter(cell => cell.cell_type === 'code' && cell.get_text().trim());
    return cells.every(cell => typeof cell.input_prompt_number === 'number') && !Jupyter.notebook.kernel_busy;
  });
}

// cell returns the code cell that holds a text.
export const cell = (page, text) => page.locator('.code_cell', { has: page.locator('.CodeMirror-code', { hasText: text }) });

// slider returns the parts of a slider by its label.
export function slider(page, label) {
  const row = page.locator('.widget-hslider', { has: page.locator('.widget-label', { hasText: label }) });
  return { row, label: row.locator('.widget-label'), handle: row.locator('.ui-slider-handle'), track: row.locator('.ui-slider'), readout: row.locator('.widget-readout') };
}

// picture describes the newest image of a cell: where its data come from, its
// size on the page, and, if it is a drawing, the words in it.
export async function picture(cell) {
  const image = cell.locator('.output_area img:not(details img)').last();
  await image.waitFor();
  return image.evaluate(async image => {
    await image.decode();
    const box = image.getBoundingClientRect(), area = image.closest('.output_area').getBoundingClientRect();
    const words = image.src.startsWith('data:image/svg+xml;base64,')
      ? [...new DOMParser().parseFromString(new TextDecoder().decode(Uint8Array.from(atob(image.src.split(',')[1]), c => c.charCodeAt(0))), 'image/svg+xml')
        .querySelectorAll('text')].map(text => text.textContent) : [];
    return { src: image.src, alt: image.alt, width: box.width, height: box.height, natural: image.naturalWidth, words,
      cut: box.left < area.left - 1 || box.right > area.right + 1 };
  });
}

// changed waits until the newest image of a cell is another one.
export async function changed(cell, before) {
  let now;
  await until('the picture changes', async () => (now = await picture(cell)).src !== before.src);
  return now;
}

// until waits for a condition.
export async function until(what, condition) {
  for (const end = Date.now() + patience; !await condition();) {
    assert.ok(Date.now() < end, `it does not happen that ${what}`);
    await new Promise(resolve => setTimeout(resolve, 20));
  }
}
