// A job from its start to the printed hand-over by the keyboard alone: Tab, Enter, Space and letters. On every page that is walked
// through each thing that can be used is reached, is seen to have the focus, is inside the window, and lets go of it again.
//
// Usage: node keyboard.mjs PROGRAM FOLDER  -- the built program, and a folder for prints.
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { SIZES, ended, must } from './look.mjs';
import { BROWSER, end, start } from './program.mjs';

const [program, shots] = process.argv.slice(2);
mkdirSync(shots, { recursive: true });
/** More stops than any page has. */
const MOST = 600;

/** What has the focus: its words, whether that is seen, whether it is in the window. */
const focused = (page) => page.evaluate(() => {
  const one = document.activeElement;
  if (!one || one === document.body) { return null; }
  const style = getComputedStyle(one);
  const box = one.getBoundingClientRect();
  const name = one.getAttribute('aria-label') ?? one.labels?.[0]?.innerText ?? (one.innerText || one.value || one.name || '');
  one.dataset.stop ??= String(Math.random());
  return {
    stop: one.dataset.stop, tag: one.tagName.toLowerCase(), name: name.trim().replace(/\s+/g, ' ').slice(0, 80), type: one.type ?? '',
    seen: style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2,
    within: box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth,
  };
});

/** Goes through the whole page: gives its stops; fails where one cannot be seen or the page does not let go. */
const through = async (page, where) => {
  await page.evaluate(() => { document.activeElement?.blur(); window.getSelection()?.removeAllRanges(); scrollTo(0, 0); });
  const usable = await page.evaluate(() => [...document.querySelectorAll('a[href], button, input:not([type=hidden]), select, textarea, summary')]
    .filter((one) => one.checkVisibility()).length);
  const stops = new Map();
  let left = false;
  for (let at = 0; at < MOST && !left; at += 1) {
    await page.keyboard.press('Tab');
    const now = await focused(page);
    if (!now || stops.has(now.stop)) { left = true; break; }
    must(now.seen, `${where}: ${now.tag} "${now.name}" does not show that it has the focus`);
    must(now.within || now.tag === 'div', `${where}: ${now.tag} "${now.name}" has the focus outside the window`);
    stops.set(now.stop, now);
  }
  must(left, `${where}: the page does not let go of the focus`);
  const used = [...stops.values()].filter((one) => one.tag !== 'div').length;
  // Of radio buttons that belong together one is a stop.
  must(used >= usable - await page.locator('input[type=radio]').count(), `${where}: ${used} of ${usable} things can be reached`);
  return stops.size;
};

/** Tabs until what has the focus fits these words. */
const to = async (page, tag, words) => {
  const wanted = (one) => one && (tag === '' || one.tag === tag) && (words instanceof RegExp ? words.test(one.name) : one.name === words);
  for (let at = 0; at < MOST; at += 1) {
    if (wanted(await focused(page))) { return; }
    await page.keyboard.press('Tab');
  }
  throw new Error(`the keyboard does not reach ${tag} ${words} on ${page.url()}`);
};
const enter = async (page) => {
  await Promise.all([page.waitForNavigation(), page.keyboard.press('Enter')]);
};

const walk = async (browser, size) => {
  const folder = mkdtempSync(join(tmpdir(), 'reseat-keys-'));
  const { child, open } = await start(program, folder);
  const context = await browser.newContext({ viewport: SIZES[size] });
  const page = await context.newPage();
  page.setDefaultTimeout(20_000);
  let stops = 0;
  const look = async (name) => { stops += await through(page, `${name} (${size})`); };
  try {
    await page.goto(open);
    await look('bench');
    await to(page, 'button', 'Put it on the bench');
    await enter(page);
    await look('record');
    // The first stop leads past the ways to go.
    await page.evaluate(() => { document.activeElement?.blur(); scrollTo(0, 0); });
    await page.goto(page.url());
    await page.keyboard.press('Tab');
    must((await focused(page)).name === 'To the content', 'the first stop leads to the content');
    await page.keyboard.press('Enter');
    await page.keyboard.press('Tab');
    must(await page.evaluate(() => document.querySelector('main').contains(document.activeElement)), 'the stop after it is in the content');
    await to(page, 'a', 'change setting.room');
    await enter(page);
    // The field that is changed has the focus by itself.
    must((await focused(page)).tag === 'input', 'the field to change has the focus');
    await page.keyboard.press('Control+a');
    await page.keyboard.type('19..26 °C');
    await enter(page);
    must((await page.locator('main').innerText()).includes('19..26'), 'a field is set by the keyboard');
    await to(page, 'a', 'What fits');
    await enter(page);
    await look('what fits');
    await to(page, 'a', 'Routes');
    await enter(page);
    await look('routes');
    for (const words of ['Heat path', 'Power path', 'Findings', 'Unknown']) {
      await to(page, 'a', words);
      await enter(page);
      await look(words);
    }
    await to(page, 'a', 'Routes');
    await enter(page);
    await to(page, 'button', 'Make the job sheet');
    await enter(page);
    const job = page.url().split('#')[0];
    must(job.includes('/jobs/'), 'a job is begun by the keyboard');
    await look('job sheet');
    await page.goto(job);
    // Every step is ticked, the first one noted.
    const steps = await page.locator('ol.steps > li').count();
    for (let at = 1; at <= steps; at += 1) {
      await to(page, 'button', new RegExp(`^${at}\\. `));
      await page.keyboard.press('Space');
      await page.locator(`ol.steps > li:nth-child(${at})[data-done]`).waitFor();
      if (at === 1) {
        await to(page, 'summary', 'Note');
        await page.keyboard.press('Enter');
        await page.keyboard.press('Tab');
        await page.keyboard.type('by the keyboard alone');
        await to(page, 'button', 'Keep the note');
        await page.keyboard.press('Enter');
        await page.locator('ul.notes li', { hasText: 'by the keyboard alone' }).waitFor();
      }
    }
    must(await page.locator('[data-count]').innerText() === String(steps), 'every step is ticked');
    await to(page, 'a', 'Soak and proof');
    await enter(page);
    await look('proof');
    await to(page, 'a', 'Soak before the work');
    await enter(page);
    await look('soak');
    await to(page, 'a', /Rush|grey|\+/);
    await enter(page);
    await to(page, 'button', /^Close the job and write/);
    await enter(page);
    await to(page, 'a', 'Hand-over');
    await enter(page);
    await look('hand-over');
    must((await page.locator('main').innerText()).includes('by the keyboard alone'), 'the note is in the hand-over');
    for (const [name, address] of [['sheet', job], ['hand-over', `${job}/handover`]]) {
      await page.goto(address);
      for (const format of ['A4', 'Letter']) { writeFileSync(join(shots, `print-${name}-${format}-${size}.pdf`), await page.pdf({ format, preferCSSPageSize: false })); }
    }
    for (const paper of ['a4', 'letter']) {
      const reply = await context.request.get(`${job}/handover.pdf?paper=${paper}`);
      writeFileSync(join(shots, `file-hand-over-${paper}-${size}.pdf`), await reply.body());
    }
    console.log(`by the keyboard alone (${size}): ${stops} stops`);
  } finally {
    await context.close();
    end(child);
    rmSync(folder, { recursive: true, force: true });
  }
};

const browser = await chromium.launch(BROWSER);
try {
  for (const size of ['desk', 'phone']) { await walk(browser, size); }
} finally {
  await browser.close();
}
ended('the keyboard reaches everything');
