// Strings that mean harm, through every field of every form, on a wide desk and on a phone: they stay text, nothing runs,
// nothing is asked outside, no page becomes wider than its screen.
//
// Forms are found by walking through the pages, so a new one is tested without a word here.
//
// Usage: node hostile.mjs PROGRAM FOLDER  -- the built program, and a folder for screenshots.
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { BROWSER, end, start } from './program.mjs';

const [program, shots] = process.argv.slice(2);
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
      if (/away|close|phone|works/.test(shape)) { continue; }
      for (const field of fields) {
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

const browser = await chromium.launch(BROWSER);
try {
  for (const [size, viewport] of Object.entries(SIZES)) {
    const folder = mkdtempSync(join(tmpdir(), 'reseat-hostile-'));
    const { child, open, base } = await start(program, folder);
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
      const { fields, sent } = await everyField(page, [
        `${base}/`, `${base}/add/typed`, `${base}/parts`, ...OF_MACHINE.map((path) => machine + path), `${machine}?edit=setting.room`, `${machine}/compare?route=&route=skerry-fine`, job, `${job}/handover`,
      ], size);
      must(fields > 20, `only ${fields} fields were found`);
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
