// Soaks of a job and lists into a library, in a real browser: on a wide desk and on a phone, with scripts and without. Loads
// are real and short; the sensors are a folder of files that this script lets warm and cool.
//
// Usage: node soak-and-lists.mjs PROGRAM FOLDER  -- the built program, and a folder for screenshots.
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { live, tree } from './bench-tree.mjs';
import { ended, looker, must } from './look.mjs';
import { BROWSER } from './program.mjs';
import { opened } from './window.mjs';

const [program, shots] = process.argv.slice(2);
mkdirSync(shots, { recursive: true });
const look = looker(shots);
const words = async (page) => page.locator('main').innerText();

/** Fills the form of a soak and begins it; the sensors follow. */
const soak = async (page, folder, { time, rest, resistance }) => {
  await page.getByLabel('Load', { exact: true }).selectOption('integer');
  await page.getByLabel('Load lasts').fill(`${time} s`);
  await page.getByLabel('Rest before and after it').fill(`${rest} s`);
  await page.getByLabel('lm75/temp1').selectOption('package');
  await page.getByLabel('board/temp1').selectOption('case air');
  const more = page.locator('details', { hasText: 'Limit, room' });
  if (await more.getAttribute('open') === null) { await more.locator('summary').click(); }
  await page.getByLabel('Rows in a second').fill('20 Hz');
  await page.getByLabel('Temperature of the room').fill('21 °C');
  const here = page.getByLabel("This computer is the job's machine.");
  if (await here.count() > 0) { await here.check(); }
  await page.getByLabel('The cooler sits').check();
  const stop = live(join(folder, 'root'), { from: rest, to: rest + time, resistance });
  await page.getByRole('button', { name: 'Begin the soak' }).click();
  await page.getByRole('button', { name: 'Stop the load' }).waitFor();
  return stop;
};

const HEADINGS = ['Zeit', '<script>window.ran=1</script>', 'Leistung "P" = [W]', 'unbroken'.repeat(12), ''];

/** A log of another program, with headings that mean nothing to us. */
const foreign = () => {
  const row = (at, celsius, watts) => `${at};${celsius.toFixed(1).replace('.', ',')};${watts};"<b>x</b>";1`;
  const rows = [];
  for (let at = 0; at < 240; at += 1) {
    const loaded = at >= 60 && at < 180;
    rows.push(row(at, loaded ? 70 - 30 * Math.exp((60 - at) / 20) : at < 60 ? 40 : 40 + 30 * Math.exp((180 - at) / 20), loaded ? 65 : 5));
  }
  return `${HEADINGS.map((one) => `"${one.replaceAll('"', '""')}"`).join(';')}\n${rows.join('\n')}\n`;
};

const soaks = (browser, view) => opened(program, browser, view, (folder) => {
  tree(join(folder, 'root'));
  return ['--sensors', join(folder, 'root')];
}, async (page, { folder, base }) => {
  await page.locator('.card', { hasText: 'editing' }).getByRole('button', { name: 'Put it on the bench' }).first().click();
  await page.goto(`${page.url()}/check?with=tern-2-rush&with=skerry-fine`);
  await page.getByRole('button', { name: 'Make the job sheet' }).click();
  const job = page.url().split('#')[0];
  await page.getByRole('link', { name: 'run one on this computer' }).first().click();
  await look(page, '30-soak-of-a-job', view);
  // What is wrong is said above the form, and nothing that was entered is lost.
  await page.getByLabel('Load lasts').fill('soon');
  await page.getByLabel('lm75/temp1').selectOption('package');
  await page.getByLabel("This computer is the job's machine.").check();
  await page.getByLabel('The cooler sits').check();
  await page.getByRole('button', { name: 'Begin the soak' }).click();
  must((await words(page)).includes('Load lasts: '), 'a time that is none is refused');
  must(await page.getByLabel('Load lasts').inputValue() === 'soon', 'what was typed is still there');
  must(await page.getByLabel('lm75/temp1').inputValue() === 'package=lm75/temp1', 'the sensor is still named');
  await page.screenshot({ path: join(shots, `31-soak-refused-${view.size}${view.scripts ? '' : '-plain'}.png`), fullPage: true });
  // Before the work it is warm, after it cool; each log goes to the job by itself.
  for (const [side, resistance] of [['before', 0.7], ['after', 0.4]]) {
    await page.goto(`${base}/soak?job=${job.split('/').pop()}&side=${side}`);
    const stop = await soak(page, folder, { time: 9, rest: 3, resistance });
    await page.locator('main svg path.curve').first().waitFor({ state: 'attached' });
    if (side === 'before') { await look(page, '32-soak-running', view); }
    await page.getByText('Its log is kept with').waitFor({ timeout: 60_000 });
    stop();
    if (side === 'before') { await look(page, '33-soak-kept', view); }
  }
  await page.getByRole('link', { name: 'See the proof' }).click();
  const proof = await words(page);
  must(proof.includes('After against before'), `the proof compares both soaks: ${proof.slice(0, 400)}`);
  must(/Proof: (it )?(passes|fails|cannot be told)/.test(proof) && await page.locator('main svg').count() >= 1, 'the proof has a verdict and its curves');
  await look(page, '34-proof', view);
  await page.goto(`${job}/proof`);
  await page.locator('#log').setInputFiles({ name: '<i>their log.csv', mimeType: 'text/csv', buffer: Buffer.from(foreign()) });
  await page.getByRole('button', { name: 'Keep the log' }).click();
  await look(page, '36-columns', view);
  must(await page.getByRole('button', { name: /^Keep the log/ }).count() === 0, 'a log without a time is not kept');
  const is = (heading) => page.getByLabel(`What ${heading} is`, { exact: true });
  await is('Zeit').fill('time s');
  await is(HEADINGS[1]).fill('packige');
  await page.getByRole('button', { name: 'Look again' }).click();
  must((await words(page)).includes('"packige" is no column of a soak log'), 'a slip is named');
  must(await is(HEADINGS[1]).inputValue() === 'packige' && await is('Zeit').inputValue() === 'time s', 'what was entered stays');
  await is(HEADINGS[1]).fill('package °C');
  await is(HEADINGS[2]).fill('power W');
  await page.getByRole('button', { name: 'Look again' }).click();
  await look(page, '37-columns-named', view);
  await page.getByRole('button', { name: /^Keep the log/ }).click();
  must(page.url() === `${job}/proof` && await page.getByText('<i>their log.csv').count() === 1, `the log is kept: ${page.url()}`);
  must(await page.evaluate(() => window.ran === undefined && document.querySelector('main b b, main i') === null).catch(() => true), 'nothing of the log came alive');

  // Long enough at rest and under load for the structure function.
  await page.getByRole('link', { name: 'Back to the job' }).click();
  must(/pass|fail|cannot tell/.test(await page.locator('dl.facts').first().innerText()), 'the job says how its proof went');
  await page.getByRole('link', { name: 'Hand-over', exact: true }).click();
  must((await words(page)).includes('Proof by a soak') && await page.locator('main svg').count() >= 2, 'the hand-over has the proof and its pictures');
  await look(page, '35-handover-with-proof', view);
  const file = await (await page.context().request.get(`${job}/handover.html`)).text();
  must(file.includes('Structure function') && !file.includes('<script src'), 'the hand-over as one file has the pictures');
  const pdf = await page.context().request.get(`${job}/handover.pdf`);
  writeFileSync(join(shots, `handover-with-proof-${view.size}.pdf`), await pdf.body());

  await page.goto(`${base}/soak`);
  const stop = await soak(page, folder, { time: 60, rest: 0.2, resistance: 0.5 });
  await page.waitForTimeout(1500);
  await page.getByRole('button', { name: 'Stop the load' }).click();
  await page.getByText('Stopped because it was asked for').waitFor({ timeout: 20_000 });
  stop();
  await look(page, '38-soak-stopped', view);
});

const LIST = () => {
  const rows = ['id,name,"<b>what</b>",conductivity W/mK,price EUR,date'];
  for (let at = 0; at < 70; at += 1) { rows.push(`paste-${at},"Paste ${at}, <img src=x onerror=alert(1)>",=1+1,${at % 9 === 8 ? 'much' : 5 + at / 10},${4 + at}.50,2026-11-0${1 + at % 9}`); }
  rows.push(`"${'unbroken'.repeat(20)}",\u202egnp.exe,x,9,soon,2026-11-01`);
  return `${rows.join('\n')}\n`;
};

const lists = (browser, view) => opened(program, browser, view, (folder) => {
  const library = join(folder, 'parts');
  mkdirSync(library);
  writeFileSync(join(library, 'own.toml'), '[[paste]]\nid = "paste-0"\nname = "Paste nought"\nmaker = "Skerry"\nconductivity = "5 W/mK"\n');
  return ['--library', library];
}, async (page, { base }) => {
  await page.goto(`${base}/parts/lists`);
  await look(page, '40-lists', view);
  await page.locator('#list').setInputFiles({ name: '"><b>list.csv', mimeType: 'text/csv', buffer: Buffer.from(LIST()) });
  await page.getByLabel('Kind of every row').selectOption('paste');
  await page.getByLabel('Shop of its prices').fill('Alder & <b>');
  await page.getByRole('button', { name: 'Look at it' }).click();
  await page.getByRole('heading', { name: 'would change' }).waitFor();
  const at = page.url();
  await look(page, '41-list', view);
  await page.getByRole('link', { name: 'Show all lines' }).click();
  await page.getByText('Only the first of each kind').waitFor();
  await look(page, '42-list-whole', view);
  await page.getByLabel('Only if all of it can be taken').check();
  await page.getByRole('button', { name: 'Take it in' }).click();
  must((await words(page)).includes('Nothing was taken, since not all of it can be'), 'a list with slips is not taken whole');
  await page.locator('#mapping').fill('kind = "sofa"');
  await page.getByRole('button', { name: 'Look again' }).click();
  must((await words(page)).includes('kind = "sofa"'), 'what was typed into the mapping is shown again');
  await look(page, '43-mapping-refused', view);
  await page.goto(at);
  await page.getByRole('button', { name: 'Take it in' }).click();
  must(page.url() === `${base}/parts/lists`, `the list is taken: ${page.url()}`);
  await look(page, '44-lists-taken', view);
  await page.getByLabel('Part, by its id').fill('paste-0');
  await page.getByRole('button', { name: 'Show' }).click();
  must((await words(page)).includes('Prices of paste-0'), 'the prices of a part are shown');
  await look(page, '45-prices', view);
  await page.goto(`${base}/parts/lists`);
  await page.getByRole('button', { name: 'Take it back' }).click();
  must((await words(page)).includes('taken back'), 'the list is taken back');
});

const browser = await chromium.launch(BROWSER);
try {
  for (const size of ['desk', 'phone']) {
    for (const scripts of [true, false]) {
      console.log(`soaks and lists: ${size}, scripts ${scripts ? 'on' : 'off'}`);
      await soaks(browser, { size, scripts });
      await lists(browser, { size, scripts });
    }
  }
} finally {
  await browser.close();
}
ended('soaks and lists hold');
