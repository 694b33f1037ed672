// A window of the browser on a program of its own.
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { SIZES, must } from './look.mjs';
import { end, start } from './program.mjs';

/** A window on a program that was started with more words. */
export const opened = async (program, browser, view, more, walk) => {
  const folder = mkdtempSync(join(tmpdir(), 'reseat-walk-'));
  const { child, base, open } = await start(program, folder, more(folder));
  const context = await browser.newContext({ viewport: SIZES[view.size], javaScriptEnabled: view.scripts, bypassCSP: view.scripts });
  const page = await context.newPage();
  page.setDefaultTimeout(15_000);
  page.on('pageerror', (error) => must(false, `a script failed: ${error.message}`));
  page.on('request', (request) => must(request.url().startsWith(base) || request.url().startsWith('data:'), `asked outside: ${request.url()}`));
  try {
    await page.goto(open);
    await walk(page, { folder, base });
  } finally {
    await context.close();
    end(child);
    rmSync(folder, { recursive: true, force: true });
  }
};
