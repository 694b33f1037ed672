// Strings that mean harm, through every field of every form, on a wide desk and on a phone: they stay text, nothing runs,
// nothing is asked outside, no page becomes wider than its screen.
//
// Forms are found by walking through the pages, so a new one is tested without a word here.
//
// Usage: node hostile.mjs PROGRAM FOLDER LIBRARY  -- the built program, a folder for screenshots, and the demo's library.
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { tree } from './bench-tree.mjs';
import { BROWSER, end, start } from './program.mjs';

const [program, shots, demo] = process.argv.slice(2);
mkdirSync(shots, { recursive: true });
const HOSTILE = {
  markup: '"><img src=x onerror="window.ran=1"><script>window.ran=1</script><b id=bold>b</b>',
  backwards: '\u202egnp.exe\u2066 \u{1f642}\u0301 \u05e9\u05dc\u05d5\u05dd',
  long: 'unbroken'.repeat(300),
  wide: '\u{1f469}\u200d\u{1f527}'.repeat(200),
  quoting: `'); alert(1); //\${7*7}{{7*7}} & &amp; %0d%0aSet-Cookie: a=b`,
};
const SIZES = { desk: { width: 1280, height: 900 }, phone: { width: 360, height: 740 } };
const problems = [];
const must = (holds, what) => { if (!holds) { problems.push(what); console.error(`FAILED: ${what}`); } };

/** Looks whether what is shown is harmless. */
const harmless = async (page, where, status) => {
  must(status === undefined || status < 500, `${where}: answered ${status}`);
  const found = await page.evaluate(() => ({
    ran: window.ran !== undefined,
    foreign: document.querySelectorAll('img[src="x"], #bold, main script').length,
    wide: document.documentElement.scrollWidth - document.documentElement.clientWidth,
  }));
  must(!found.ran, `${where}: a script ran`);
  must(found.foreign === 0, `${where}: markup came alive`);
  must(found.wide <= 0, `${where}: ${found.wide} pixels wider than the screen`);
};

/** Every form of the page that is open: its place among the forms, what it looks like, and its fields. */
const forms = (page) => page.evaluate(() => [...document.forms].map((form, place) => ({
  place,
  shape: `${form.method} ${new URL(form.action).pathname.split('/').filter((part, at) => at !== 2).join('/')}`,
  fields: [...new Set([...form.elements].filter((field) => field.name && field.name !== 'token').map((field) => field.name))],
})));

/** Sends a form with this text in one field, or with this file's name. */
const send = async (page, place, name, text) => {
  const file = page.locator(`form >> nth=${place}`).locator('input[type=file]');
  if (await file.count() > 0 && name === await file.getAttribute('name')) {
    await file.setInputFiles({ name: `${text.slice(0, 80).replaceAll('/', '')}.png`, mimeType: 'image/png', buffer: Buffer.from('no picture') });
  }
  const [reply] = await Promise.all([
    page.waitForNavigation(),
    page.evaluate(([at, field, value]) => {
      const form = document.forms[at];
      // One of those that share a name is enough: an address holds only so many long ones.
      for (const one of [...form.elements].filter((element) => element.name === field && element.type !== 'file').slice(0, 1)) {
        if (one.tagName === 'SELECT') { one.options[0].value = value; one.selectedIndex = 0; }
        else if (one.type === 'checkbox') { one.value = value; one.checked = true; }
        else { one.value = value; }
      }
      // Without the page's own script in between, and without the browser's own checks.
      HTMLFormElement.prototype.submit.call(form);
    }, [place, name, text]),
  ]);
  return reply?.status();
};

const everyField = async (page, addresses, size) => {
  const seen = new Set();
  let sent = 0;
  for (const address of addresses) {
    await page.goto(address);
    for (const { place, shape, fields } of await forms(page)) {
      // What takes a machine away, closes the job or stops a computation has no text of its own, and would end the walk.
      if (/away|close|phone|works|undo/.test(shape)) { continue; }
      for (const field of fields) {
        // Anything but its word takes the list in, and it is gone then.
        if (/take$/.test(shape) && field === 'whole') { continue; }
        if (seen.has(`${shape} ${field}`)) { continue; }
        seen.add(`${shape} ${field}`);
        for (const [kind, text] of Object.entries(HOSTILE)) {
          await page.goto(address);
          const where = `${shape}, field ${field}, ${kind} (${size})`;
          try {
            await harmless(page, where, await send(page, place, field, text));
          } catch (error) {
            must(false, `${where}: ${error.message.split('\n')[0]}`);
            await page.goto('about:blank');
          }
          sent += 1;
        }
      }
    }
    await page.goto(address);
    await harmless(page, `${address} afterwards (${size})`);
  }
  return { fields: seen.size, sent };
};

const OF_MACHINE = ['', '/text', '/unknown', '/fits', '/routes', '/check?with=tern-2-rush', '/power', '/heat', '/paste?with=skerry-fine'];

/** A machine, a part and a note that are called like that, on every page where they show. */
const names = async (page, base, size) => {
  await page.goto(`${base}/`);
  const record = await (async () => {
    await page.locator('.card', { hasText: 'editing' }).getByRole('button', { name: 'Put it on the bench' }).first().click();
    await page.goto(`${page.url()}/text`);
    return page.locator('#record').inputValue();
  })();
  for (const [kind, text] of Object.entries(HOSTILE)) {
    // As TOML writes any text.
    const quoted = JSON.stringify(text);
    await page.goto(`${base}/parts`);
    await page.locator('#own').fill(`[[paste]]\nid = "own-paste"\nname = ${quoted}\nmaker = ${quoted}\nconductivity = "9 W/mK"\n`);
    await page.getByRole('button', { name: 'Keep' }).click();
    must(page.url() === `${base}/parts` && await page.getByRole('heading', { name: 'Parts', exact: true }).count() === 1, `a part with a ${kind} name is taken: ${(await page.locator('main').innerText()).slice(0, 300)}`);
    await harmless(page, `own part, ${kind} (${size})`);
    await page.goto(`${base}/add/typed`);
    await page.locator('#record').fill(record.replace(/^name = .*$/m, `name = ${quoted}`).replace(/^story = .*$/m, `story = ${quoted}`));
    await page.getByRole('button', { name: /Put|Keep/ }).first().click();
    must(page.url().includes('/machines/'), `a machine with a ${kind} name is taken: ${page.url()} ${(await page.locator('main').innerText()).slice(0, 300)}`);
    const machine = page.url();
    for (const path of OF_MACHINE) {
      const reply = await page.goto(machine + path);
      await harmless(page, `${path} of a ${kind} name (${size})`, reply.status());
      if (path === '' || path === '/routes') { await page.screenshot({ path: join(shots, `hostile-${kind}${path.replace('/', '-')}-${size}.png`) }); }
    }
    await page.goto(`${machine}/check?with=own-paste`);
    await harmless(page, `a part's ${kind} name (${size})`);
    await page.getByRole('button', { name: 'Make the job sheet' }).click();
    const job = page.url().split('#')[0];
    const step = page.locator('ol.steps > li').first();
    await step.getByText('Note', { exact: true }).click();
    await step.getByLabel('Note on this step').fill(text);
    await step.getByRole('button', { name: 'Keep the note' }).click();
    const kept = page.locator('ul.notes li bdi').first();
    await kept.waitFor();
    must(await kept.textContent() === text, `a ${kind} note comes back as it was typed (${size})`);
    await page.screenshot({ path: join(shots, `hostile-${kind}-job-${size}.png`) });
    for (const path of ['', '/handover']) {
      const reply = await page.goto(job + path);
      await harmless(page, `job${path} with a ${kind} note (${size})`, reply.status());
    }
    for (const path of ['/handover.pdf', '/handover.html', '/sheet.html']) {
      const reply = await page.context().request.get(job + path);
      must(reply.ok(), `${path} with a ${kind} note: ${reply.status()}`);
    }
    for (const path of ['/', '/jobs', '/parts']) {
      const reply = await page.goto(base + path);
      await harmless(page, `${path} with a ${kind} name (${size})`, reply.status());
    }
  }
};

/** Quoted as CSV has it. */
const cell = (text) => `"${text.replaceAll('"', '""')}"`;

/** A log that is called like that, whose headings, cells, loads and sensors are, up to the hand-over. */
const logs = async (page, base, job, size) => {
  const send = async (name, text) => {
    await page.goto(`${job}/proof`);
    await page.locator('#log').setInputFiles({ name: `${name.slice(0, 80).replaceAll('/', '')}.csv`, mimeType: 'text/csv', buffer: Buffer.from(text) });
    await page.getByRole('button', { name: 'Keep the log' }).click();
  };
  for (const [kind, text] of Object.entries(HOSTILE)) {
    const short = text.slice(0, 300);
    const rows = (first) => Array.from({ length: 200 }, (_, at) => {
      const loaded = at >= 60 && at < 140;
      return `${at},${loaded ? 65 : 40},${loaded ? 65 : 5},${cell(loaded ? short : 'rest')},50${first}`;
    }).join('\n');
    // Sensors and loads may be called anything: this log is whole, and is kept at once.
    await send(text, `# machine: ${text}\n# load: ${text}\ntime s,package °C,power W,load,${cell(`${short} °C`)}\n${rows('')}\n`);
    must(page.url() === `${job}/proof`, `a log with ${kind} names is kept: ${page.url()} ${(await page.locator('main').innerText()).slice(0, 300)}`);
    await harmless(page, `proof of a ${kind} log (${size})`);
    const handed = await page.goto(`${job}/handover`);
    await harmless(page, `hand-over with a ${kind} log (${size})`, handed.status());
    for (const path of ['/handover.pdf', '/handover.html']) {
      const reply = await page.context().request.get(job + path);
      must(reply.ok(), `${path} with a ${kind} log: ${reply.status()}`);
      must(path.endsWith('pdf') || !/<img src=x|<b id=bold/.test(await reply.text()), `${path}: markup of a ${kind} log came alive`);
    }
    // Columns that mean nothing: they are shown, named, and the log kept with that.
    await send(text, `Zeit,${cell(text)},W,${cell(`${short}2`)},x\n${rows(cell(text))}\n`);
    await harmless(page, `columns of a ${kind} log (${size})`);
    await page.screenshot({ path: join(shots, `hostile-${kind}-columns-${size}.png`) });
    const fields = page.locator('input[name=ours]');
    await fields.nth(1).fill(text);
    await page.getByRole('button', { name: 'Look again' }).click();
    await harmless(page, `columns of a ${kind} log, misnamed (${size})`);
    must(await fields.nth(1).inputValue() === text.replaceAll('\n', ''), `what was entered for a ${kind} column is still there`);
    await fields.nth(0).fill('time s');
    await fields.nth(1).fill('package °C');
    await fields.nth(2).fill('power W');
    await fields.nth(3).fill('load');
    await page.getByRole('button', { name: 'Look again' }).click();
    await harmless(page, `columns of a ${kind} log, named (${size})`);
    await page.getByRole('button', { name: /^Keep the log/ }).click();
    must(page.url() === `${job}/proof`, `a named ${kind} log is kept: ${page.url()} ${(await page.locator('main').innerText()).slice(0, 300)}`);
    await harmless(page, `proof of a named ${kind} log (${size})`);
  }
};

/** A list that is called like that, with such headings and cells: looked at, taken, and on every page afterwards. */
const lists = async (page, base, size) => {
  for (const [kind, text] of Object.entries(HOSTILE)) {
    await page.goto(`${base}/parts/lists`);
    const list = `id,name,price EUR,date,${cell(text)}\nskerry-fine,${cell(text)},7.50,2026-11-01,${cell(text)}\n${cell(text)},${cell(text)},${cell(text)},soon,${cell(`=${text}`)}\n`;
    await page.locator('#list').setInputFiles({ name: `${text.slice(0, 80).replaceAll('/', '')}.csv`, mimeType: 'text/csv', buffer: Buffer.from(list) });
    await page.getByLabel('Shop of its prices').fill(text.slice(0, 200));
    await page.getByRole('button', { name: 'Look at it' }).click();
    await harmless(page, `a ${kind} list (${size})`);
    must(await page.getByRole('heading', { name: 'would change' }).count() === 1, `a ${kind} list is looked at: ${(await page.locator('main').innerText()).slice(0, 300)}`);
    await page.screenshot({ path: join(shots, `hostile-${kind}-list-${size}.png`) });
    const take = page.getByRole('button', { name: 'Take it in' });
    if (await take.count() > 0) { await take.click(); await harmless(page, `a ${kind} list that was taken (${size})`); }
    for (const path of ['/parts', '/parts/lists', '/parts/prices?part=skerry-fine', `/parts/prices?part=${encodeURIComponent(text.slice(0, 500))}`]) {
      const reply = await page.goto(base + path);
      await harmless(page, `${path.slice(0, 40)} after a ${kind} list (${size})`, reply.status());
    }
  }
};

const browser = await chromium.launch(BROWSER);
try {
  for (const [size, viewport] of Object.entries(SIZES)) {
    const folder = mkdtempSync(join(tmpdir(), 'reseat-hostile-'));
    // A library of the demo's files that takes lists, and sensors that are called like that.
    const library = join(folder, 'parts');
    mkdirSync(library);
    for (const name of readdirSync(demo)) { writeFileSync(join(library, name), readFileSync(join(demo, name))); }
    tree(join(folder, 'root'), { chip: HOSTILE.markup, label: HOSTILE.backwards });
    const { child, open, base } = await start(program, folder, ['--library', library, '--sensors', join(folder, 'root')]);
    // The page's own policy stays in force: it is part of what is tested.
    const context = await browser.newContext({ viewport });
    const page = await context.newPage();
    page.setDefaultTimeout(60_000);
    page.on('dialog', (dialog) => { problems.push(`a dialog: ${dialog.message()}`); dialog.dismiss(); });
    page.on('request', (request) => must(/^(http:\/\/127\.0\.0\.1:|data:|about:|chrome-error:)/.test(request.url()), `asked outside: ${request.url()}`));
    try {
      await page.goto(open);
      await names(page, base, size);
      await page.goto(`${base}/`);
      await page.locator('.card', { hasText: 'Radio Harrow' }).getByRole('button', { name: 'Put it on the bench' }).first().click();
      const machine = page.url();
      await page.goto(`${machine}/check?with=skerry-fine`);
      await page.getByRole('button', { name: 'Make the job sheet' }).click();
      const job = page.url().split('#')[0];
      await logs(page, base, job, size);
      await lists(page, base, size);
      // Pages that are there only once a file was sent.
      await page.goto(`${job}/proof`);
      await page.locator('#log').setInputFiles({ name: 'log.csv', mimeType: 'text/csv', buffer: Buffer.from('a,b\n1,2\n') });
      await page.getByRole('button', { name: 'Keep the log' }).click();
      const columns = page.url();
      await page.goto(`${base}/parts/lists`);
      await page.locator('#list').setInputFiles({ name: 'list.csv', mimeType: 'text/csv', buffer: Buffer.from('id,price EUR,date\nskerry-fine,8.25,2026-11-09\n') });
      await page.getByRole('button', { name: 'Look at it' }).click();
      const list = page.url();
      const number = job.split('/').pop();
      const { fields, sent } = await everyField(page, [
        `${base}/soak`, `${base}/soak?job=${number}&side=after`, `${job}/proof`, columns, list, `${base}/parts/lists`,
        `${base}/`, `${base}/add/typed`, `${base}/parts`, ...OF_MACHINE.map((path) => machine + path), `${machine}?edit=setting.room`, `${machine}/compare?route=&route=skerry-fine`, job, `${job}/handover`,
      ], size);
      must(fields > 45, `only ${fields} fields were found`);
      console.log(`hostile strings (${size}): ${fields} fields, ${sent} forms sent`);
    } finally {
      await context.close();
      end(child);
      rmSync(folder, { recursive: true, force: true });
    }
  }
} finally {
  await browser.close();
}
if (problems.length > 0) { console.error(`${problems.length} problems`); process.exit(1); }
console.log('hostile strings stay text');
