// A watch over this computer and a plan for many machines, in a real browser: on a wide desk and on a phone, with scripts and
// without.
//
// Usage: node observe-and-fleet.mjs PROGRAM FOLDER  -- the built program, and a folder for screenshots.
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { ended, looker, must } from './look.mjs';
import { BROWSER } from './program.mjs';
import { opened } from './window.mjs';

const [program, shots] = process.argv.slice(2);
mkdirSync(shots, { recursive: true });
const look = looker(shots);
const words = async (page) => page.locator('main').innerText();
const go = async (page, place) => page.getByRole('navigation', { name: 'Places' }).getByRole('link', { name: place }).click();

/** Half an hour of looks, most of them finding many tasks at work. */
const SEEN = `# threads: 4
length s,looks at rest,one wants,many want,elsewhere,wanting,threads busy,waits for processor,waits for memory,waits for disk,disk works,graphics work,clock MHz,memory B/s
${'10.0,18,17,64,1,320,2.474,0.320,0,0.010,0.013,,3600,\n'.repeat(180)}`;

const observe = (browser, view) => opened(program, browser, view, () => [], async (page, { folder, base }) => {
  await page.locator('form[action="/add/demo"] button').first().click();
  await go(page, 'Observe');
  await look(page, '50-observe', view);
  await page.getByRole('button', { name: 'Begin to watch' }).click();
  must((await words(page)).includes('Watching since'), 'the watch goes on');
  await look(page, '51-watching', view);
  await page.getByRole('button', { name: 'End the watch' }).click();
  // It ends within a nap of its thread.
  await page.waitForTimeout(500);
  await page.goto(`${base}/observe`);
  writeFileSync(join(folder, 'seen.csv'), SEEN);
  await page.getByLabel('Or take what was counted').setInputFiles(join(folder, 'seen.csv'));
  await page.getByRole('button', { name: 'Read it' }).click();
  must((await words(page)).includes('Watched for 30 min'), 'what was counted elsewhere is read');
  await look(page, '52-observed', view);
  await page.getByLabel('Hours a day').fill('6 h');
  await page.getByRole('button', { name: 'Put the tasks into the record' }).click();
  must((await words(page)).includes('work on many cores'), `the record has the tasks: ${page.url()}`);
});

const TABLE = `id,name,processor.id,board.id,firmware,memory.id,cooler.id,supply.id,case.id,setting.days_a_year
one,Room <b>4</b>,tern-1-sedge,tidewell-plover,1.40,quillon-2666-2x8,larkspur-90,kiln-450,hutch-small,180
two,Room 5,tern-1-sedge,tidewell-plover,1.40,quillon-2666-2x8,larkspur-90,kiln-450,hutch-small,180
three,Room 6,nothing-such,tidewell-plover,1.40,quillon-2666-2x8,larkspur-90,kiln-450,hutch-small,180
`;
const COMMON = `setting = { room = "20..26 °C", hours_on = "8 h", energy_price = "0.30 EUR" }
task = [{ name = "rendering", time_a_day = "2 h", serial = "10 %", parallel = "85 %", elsewhere = "5 %" }]
wishes = { hour_value = "10 EUR", second_hand = "welcome" }
`;

const fleet = (browser, view) => opened(program, browser, view, () => [], async (page, { folder }) => {
  await go(page, 'Fleet');
  await look(page, '53-fleet', view);
  writeFileSync(join(folder, 'machines.csv'), TABLE);
  await page.getByLabel('those of a file').check();
  await page.getByLabel('File: a table').setInputFiles(join(folder, 'machines.csv'));
  await page.getByText('Fields that hold for every machine').click();
  await page.getByLabel('As a record says them').fill(COMMON);
  await page.getByLabel('Most to spend in all').fill('2000 EUR');
  await page.getByRole('button', { name: 'Plan for them' }).click();
  await page.getByRole('heading', { name: 'What to do' }).waitFor({ timeout: 60_000 });
  must((await words(page)).includes('2 machines in 1 groups') && (await words(page)).includes('nothing-such'), 'two are planned for, one is told');
  await look(page, '54-fleet-planned', view);
  await page.getByRole('link', { name: 'Job sheets, in their order' }).click();
  must(await page.locator('main b').count() === 0, 'markup in a name stays text');
  await look(page, '55-fleet-sheets', view);
});

const browser = await chromium.launch(BROWSER);
try {
  for (const size of ['desk', 'phone']) {
    for (const scripts of [true, false]) {
      console.log(`observe and fleet: ${size}, scripts ${scripts ? 'on' : 'off'}`);
      await observe(browser, { size, scripts });
      await fleet(browser, { size, scripts });
    }
  }
} finally {
  await browser.close();
}
ended('observe and fleet hold');
