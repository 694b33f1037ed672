// The pictures of the documentation, made anew by the program, and the one of its page by a browser.
//
// Usage: node pictures.mjs PROGRAM FOLDER  -- the built program, and the folder of the pictures.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { BROWSER, end, start } from './program.mjs';

const [program, pictures] = process.argv.slice(2);
const DRAWN = {
  'fit.svg': 'chart demo --socket heron --svg',
  'routes.svg': 'plan demo --all --svg',
  'heat.svg': 'heat demo --svg',
  'paste.svg': 'paste demo --with skerry-fine --svg',
  'power.svg': 'power demo --with tern-2-rush --svg',
  'soak.svg': 'proof demo --before demo-before --after demo-after --with tern-2-rush --with holloway-120 --with skerry-fine --svg',
};
for (const [name, words] of Object.entries(DRAWN)) {
  const done = spawnSync(program, [...words.split(' '), join(pictures, name)], { encoding: 'utf8' });
  // 1 and 3 are answers too.
  if (![0, 1, 3].includes(done.status)) { throw new Error(`${words}: ${done.stderr}`); }
}
const folder = mkdtempSync(join(tmpdir(), 'reseat-pictures-'));
const { child, open } = await start(program, folder);
const browser = await chromium.launch(BROWSER);
try {
  const page = await browser.newPage({ viewport: { width: 1160, height: 1010 } });
  await page.goto(open);
  await page.locator('.card', { hasText: 'editing' }).getByRole('button', { name: 'Put it on the bench' }).first().click();
  await page.getByRole('navigation', { name: 'This machine' }).getByRole('link', { name: 'Routes' }).click();
  await page.screenshot({ path: join(pictures, 'page.png') });
} finally {
  await browser.close();
  end(child);
  rmSync(folder, { recursive: true, force: true });
}
