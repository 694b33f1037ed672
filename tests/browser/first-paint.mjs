// How long the browser takes from asking for a page to its first paint, on loopback.
//
// Measured: first-contentful-paint of the Paint Timing standard, from the start of the navigation. Each page is visited
// in a browser that is running already, in one window, as a person at the bench does who goes from page to page: once to
// warm up, then several times. Printed are the median and the fastest of those, the first visit of a fresh browser
// profile (nothing cached, a new renderer), and the processor time of the renderer's main thread for one visit, which
// does not depend on what else the computer does. Nothing here fails: a time is no test.
//
// Usage: node first-paint.mjs PROGRAM
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { BROWSER, end, start } from './program.mjs';

const VISITS = 7;
const VIEW = { viewport: { width: 1280, height: 900 } };
const [program] = process.argv.slice(2);
const middle = (list) => [...list].sort((a, b) => a - b)[Math.floor(list.length / 2)];
const paint = async (page, url) => {
  await page.goto(url, { waitUntil: 'load' });
  return (await page.waitForFunction(() => performance.getEntriesByName('first-contentful-paint')[0]?.startTime)).jsonValue();
};

const folder = mkdtempSync(join(tmpdir(), 'reseat-paint-'));
const { child, open, base } = await start(program, folder);
const browser = await chromium.launch(BROWSER);
try {
  const context = await browser.newContext(VIEW);
  const page = await context.newPage();
  await page.goto(open);
  await page.locator('.card', { hasText: 'editing' }).getByRole('button', { name: 'Put it on the bench' }).first().click();
  const machine = page.url();
  await page.goto(`${machine}/check?with=tern-2-rush&with=skerry-fine`);
  await page.getByRole('button', { name: 'Make the job sheet' }).click();
  const job = page.url().split('#')[0];
  const pages = {
    bench: `${base}/`, record: machine, unknown: `${machine}/unknown`, 'what fits': `${machine}/fits`, routes: `${machine}/routes`,
    findings: `${machine}/check?with=tern-2-rush`, 'power path': `${machine}/power`, 'heat path': `${machine}/heat`,
    'job sheet': job, 'hand-over': `${job}/handover`, parts: `${base}/parts`, records: `${base}/jobs`,
  };
  const tool = await context.newCDPSession(page);
  await tool.send('Performance.enable', { timeDomain: 'threadTicks' });
  const busy = async () => (await tool.send('Performance.getMetrics')).metrics.find((one) => one.name === 'TaskDuration').value * 1000;
  console.log('page         median  fastest  first visit  main thread   (ms)');
  const all = [];
  for (const [name, url] of Object.entries(pages)) {
    await paint(page, url);
    const warm = [];
    const used = [];
    for (let visit = 0; visit < VISITS; visit += 1) {
      warm.push(await paint(page, url));
      used.push(await busy());
    }
    const fresh = await browser.newContext(VIEW);
    await fresh.addCookies(await context.cookies());
    const first = await paint(await fresh.newPage(), url);
    await fresh.close();
    all.push({ warm: middle(warm), first });
    const column = (value, width) => value.toFixed(0).padStart(width);
    console.log(`${name.padEnd(12)}${column(middle(warm), 7)}${column(Math.min(...warm), 9)}${column(first, 13)}${column(middle(used), 13)}`);
  }
  console.log(`median of the pages: ${middle(all.map((one) => one.warm)).toFixed(0)} ms, slowest ${Math.max(...all.map((one) => one.warm)).toFixed(0)} ms; first visits: median ${middle(all.map((one) => one.first)).toFixed(0)} ms, slowest ${Math.max(...all.map((one) => one.first)).toFixed(0)} ms`);
} finally {
  await browser.close();
  end(child);
  rmSync(folder, { recursive: true, force: true });
}
