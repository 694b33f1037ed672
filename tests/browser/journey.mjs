// The whole path in a real browser, from an empty store to a printed hand-over: on a wide desk and on a phone, with scripts
// and without. Every page on the way is looked at by axe-core (WCAG 2.2 A and AA) and by a validator of HTML, weighed, and
// kept as a screenshot.
//
// Usage: node journey.mjs PROGRAM FOLDER  -- the built program, and a folder for screenshots.
import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { SIZES, ended, looker, must } from './look.mjs';
import { BROWSER, end, start } from './program.mjs';

const [program, shots] = process.argv.slice(2);
mkdirSync(shots, { recursive: true });
const look = looker(shots);
const journey = async (browser, view) => {
  const folder = mkdtempSync(join(tmpdir(), 'reseat-journey-'));
  const { child, base, open } = await start(program, folder);
  const context = await browser.newContext({ viewport: SIZES[view.size], javaScriptEnabled: view.scripts, bypassCSP: view.scripts });
  const page = await context.newPage();
  page.setDefaultTimeout(8_000);
  const errors = [];
  page.on('pageerror', (error) => errors.push(error.message));
  page.on('request', (request) => must(request.url().startsWith(base) || request.url().startsWith('data:'), `asked outside: ${request.url()}`));
  try {
    const locked = await page.goto(`${base}/`);
    must(locked.status() === 403, `without its secret the page answers ${locked.status()}`);
    await page.goto(open);
    must(new URL(page.url()).pathname === '/', 'the secret does not stay in the address');
    await look(page, '01-empty-bench', view);
    await page.locator('.card', { hasText: 'editing' }).getByRole('button', { name: 'Put it on the bench' }).first().click();
    must(page.url().includes('/machines/'), `the demo machine is on the bench: ${page.url()}`);
    const machine = page.url();
    await look(page, '02-record', view);
    await page.getByLabel('Field', { exact: true }).fill('board.stages.count');
    await page.getByLabel('Value with its unit').fill('eight');
    await page.getByRole('button', { name: 'Set by hand' }).last().click();
    must((await page.locator('main').innerText()).includes('eight'), 'what was typed is shown again');
    await look(page, '03-refused', view);
    await page.goto(machine);
    await page.getByLabel('change setting.room', { exact: true }).click();
    await page.locator('#value').fill('19..26 °C');
    await page.getByRole('button', { name: 'Set by hand' }).first().click();
    must((await page.locator('main').innerText()).includes('19..26'), 'the room is set');
    const ways = page.getByRole('navigation', { name: 'This machine' });
    await ways.getByRole('link', { name: 'Unknown' }).click();
    await look(page, '04-unknown', view);
    await ways.getByRole('link', { name: 'What fits' }).click();
    await look(page, '05-fits', view);
    await page.getByLabel('Show', { exact: true }).selectOption('fits');
    await page.getByRole('button', { name: 'Show' }).click();
    must(await page.locator('li.fit').count() > 0, 'something fits');
    await ways.getByRole('link', { name: 'Routes' }).click();
    await look(page, '06-routes', view);
    await page.locator('input[name=route]').nth(0).check();
    await page.locator('input[name=route]').nth(2).check();
    await page.getByRole('button', { name: 'Compare' }).click();
    must(await page.locator('section.pick').count() === 2, 'two routes stand side by side');
    await look(page, '07-compare', view);
    await ways.getByRole('link', { name: 'Routes' }).click();
    await page.locator('section.pick', { hasText: 'Best value' }).getByRole('link', { name: 'Findings' }).click();
    await look(page, '08-findings', view);
    await ways.getByRole('link', { name: 'Power path' }).click();
    await look(page, '09-power', view);
    await ways.getByRole('link', { name: 'Heat path' }).click();
    await look(page, '10-heat', view);
    await page.getByRole('link', { name: 'Map of the lid' }).click();
    await page.locator('p', { hasText: 'a fresh joint as it should be' }).waitFor({ timeout: 60_000 });
    await look(page, '11-lid', view);
    await ways.getByRole('link', { name: 'Paste' }).click();
    await page.getByRole('navigation', { name: 'Pastes' }).getByRole('link').first().click();
    await page.getByRole('heading', { name: 'Every pattern at its end' }).waitFor({ timeout: 120_000 });
    await look(page, '12-paste', view);
    await page.getByRole('navigation', { name: 'Patterns' }).getByRole('link', { name: 'cross' }).click();
    await page.getByRole('heading', { name: 'How the cross spreads' }).waitFor({ timeout: 120_000 });
    await ways.getByRole('link', { name: 'Routes' }).click();
    await page.locator('section.pick', { hasText: 'Best value' }).getByRole('button', { name: 'Make the job sheet' }).click();
    must(page.url().includes('/jobs/'), 'a job is begun');
    const job = page.url().split('#')[0];
    await look(page, '13-job', view);
    await page.locator('#pull-cord button.tick, #cord button.tick, ol.steps li button.tick').first().click();
    await page.locator('ol.steps li[data-done]').first().waitFor();
    const first = page.locator('ol.steps li').first();
    await first.getByText('Note', { exact: true }).click();
    await first.getByLabel('Note on this step').fill('<b>not bold</b> \u202e\u{1f642}');
    await first.getByRole('button', { name: 'Keep the note' }).click();
    await page.locator('ul.notes li', { hasText: 'not bold' }).waitFor();
    must(await page.locator('ul.notes b').count() === 0, 'markup in a note stays text');
    await first.getByText('Photo', { exact: true }).click();
    await first.locator('input[type=file]').setInputFiles({ name: 'p.png', mimeType: 'image/png', buffer: await page.screenshot() });
    await first.getByRole('button', { name: 'Keep the photo' }).click();
    await page.locator('.step img').first().waitFor();
    await look(page, '14-job-ticked', view);
    writeFileSync(join(shots, `job-${view.size}.pdf`), await page.pdf({ format: 'A4' }));
    await page.getByRole('link', { name: 'Hand-over', exact: true }).click();
    must((await page.locator('main').innerText()).includes('not bold'), 'the note is in the hand-over');
    await look(page, '15-handover', view);
    const pdf = await context.request.get(`${job}/handover.pdf?paper=letter`);
    must((await pdf.body()).subarray(0, 5).toString() === '%PDF-', 'the hand-over comes as PDF');
    await page.goto(job);
    await page.getByRole('button', { name: 'Close the job and write' }).click();
    await page.goto(machine);
    must((await page.locator('main').innerText()).includes('fresh'), 'the record has fresh paste now');
    await page.getByRole('navigation', { name: 'Places' }).getByRole('link', { name: 'Records' }).click();
    await look(page, '16-records', view);
    for (const place of ['Fleet', 'Observe', 'Soak']) {
      await page.getByRole('navigation', { name: 'Places' }).getByRole('link', { name: place }).click();
      await look(page, `18-${place.toLowerCase()}`, view);
    }
    await page.getByRole('navigation', { name: 'Places' }).getByRole('link', { name: 'Parts' }).click();
    await look(page, '17-parts', view);
    // What the page kept is plain files by command, and a store again out of them.
    const keep = (...words) => spawnSync(program, ['store', ...words], { encoding: 'utf8' });
    const backup = keep('backup', join(folder, 'plain'), '--store', join(folder, 'bench.db'));
    must(backup.status === 0 && backup.stdout.startsWith('1 machines, 1 jobs and 1 photos'), `back-up: ${backup.stdout}${backup.stderr}`);
    const restore = keep('restore', join(folder, 'plain'), '--store', join(folder, 'again.db'));
    must(restore.status === 0 && restore.stdout.startsWith('1 machines, 1 jobs and 1 photos'), `restore: ${restore.stdout}${restore.stderr}`);
    must(errors.length === 0, `scripts failed: ${errors.join('; ')}`);
  } finally {
    await context.close();
    end(child);
    rmSync(folder, { recursive: true, force: true });
  }
};

/** A phone is paired by the code's address; both devices tick at once and see the same, also after a lost connection. */
const pairing = async (browser) => {
  const folder = mkdtempSync(join(tmpdir(), 'reseat-pairing-'));
  const { child, open } = await start(program, folder, ['--phone', '127.0.0.2']);
  const bench = await browser.newContext({ viewport: SIZES.desk });
  const hand = await browser.newContext({ viewport: SIZES.phone });
  try {
    const page = await bench.newPage();
    page.setDefaultTimeout(8_000);
    await page.goto(open);
    await page.locator('.card', { hasText: 'editing' }).getByRole('button', { name: 'Put it on the bench' }).first().click();
    await page.goto(`${page.url()}/check?with=skerry-fine`);
    await page.getByRole('button', { name: 'Make the job sheet' }).click();
    await page.getByText('At the bench').click();
    await page.getByRole('button', { name: 'Pair a phone' }).click();
    await page.screenshot({ path: join(shots, '20-paired-desk.png'), fullPage: true });
    const address = await page.locator('code', { hasText: '/sheet/' }).innerText();
    const phone = await hand.newPage();
    phone.setDefaultTimeout(8_000);
    await phone.goto(address);
    await phone.screenshot({ path: join(shots, '21-sheet-paired-phone.png'), fullPage: true });
    const step = (device, number) => device.locator('ol.steps > li').nth(number);
    await Promise.all([step(page, 0).locator('button.tick').click(), step(phone, 1).locator('button.tick').click()]);
    for (const device of [page, phone]) {
      for (const number of [0, 1]) { await device.locator(`ol.steps > li:nth-child(${number + 1})[data-done]`).waitFor(); }
    }
    // Out of reach: the tick stays on the phone and is sent later.
    await hand.setOffline(true);
    await step(phone, 2).locator('button.tick').click();
    await phone.getByText('kept on this device').waitFor();
    await hand.setOffline(false);
    await page.locator('ol.steps > li:nth-child(3)[data-done]').waitFor();
    await page.getByRole('button', { name: 'End the pairing' }).click();
    const refused = await phone.goto(address);
    must(refused.status() === 403, `an ended pairing answers ${refused.status()}`);
  } finally {
    await bench.close();
    await hand.close();
    end(child);
    rmSync(folder, { recursive: true, force: true });
  }
};

const browser = await chromium.launch(BROWSER);
try {
  for (const size of ['desk', 'phone']) {
    for (const scripts of [true, false]) {
      console.log(`journey: ${size}, scripts ${scripts ? 'on' : 'off'}`);
      await journey(browser, { size, scripts });
    }
  }
  console.log('a phone beside the machine');
  await pairing(browser);
} finally {
  await browser.close();
}
ended('every page holds');
