// Looking at a page: axe-core (WCAG 2.2 A and AA, light and dark), a validator of HTML, its weight, its width, a picture.
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { HtmlValidate } from 'html-validate';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const HEAVIEST = 150_000;
const problems = [];

/** What must hold; the run goes on where it does not, and fails at its end. */
export const must = (holds, what) => { if (!holds) { problems.push(what); console.error(`FAILED: ${what}`); } };

const validator = new HtmlValidate({
  extends: ['html-validate:standard'],
  rules: {
    // How a page is written is the template's choice; what it means is the validator's.
    'void-style': 'off', 'attr-quotes': 'off', 'doctype-style': 'off', 'no-trailing-whitespace': 'off', 'long-title': 'off',
    'no-inline-style': 'error', 'attribute-boolean-style': 'off', 'no-implicit-button-type': 'error',
    // A region that can be moved sideways must be reached by the keyboard.
    'no-redundant-for': 'off', 'prefer-native-element': 'off', 'tel-non-breaking': 'off',
  },
});

/** A wide desk and a phone. */
export const SIZES = { desk: { width: 1280, height: 900 }, phone: { width: 360, height: 740 } };

/** What looks at the page that is open, and keeps its picture in a folder. */
export const looker = (shots) => async (page, name, { scripts, size }) => {
  const where = `${name} (${size}, scripts ${scripts ? 'on' : 'off'})`;
  await page.screenshot({ path: join(shots, `${name}-${size}${scripts ? '' : '-plain'}.png`), fullPage: true });
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  must(wide <= 0, `${where}: ${wide} pixels wider than the screen`);
  if (size === 'phone') {
    // A table whose last column is out of sight says less than it seems to.
    const hidden = await page.evaluate(() => [...document.querySelectorAll('.table, .picture.two')]
      .filter((one) => one.scrollWidth > one.clientWidth).map((one) => `${one.getAttribute('aria-label')} (${one.scrollWidth} in ${one.clientWidth})`));
    must(hidden.length === 0, `${where}: runs out of its frame: ${hidden.join('; ')}`);
  }
  if (!scripts) { return; }
  const reply = await page.context().request.get(page.url().split('#')[0]);
  const text = await reply.text();
  must(text.length < HEAVIEST, `${where}: weighs ${text.length} bytes`);
  const report = await validator.validateString(text, page.url());
  for (const message of report.results.flatMap((result) => result.messages)) {
    must(false, `${where}: HTML ${message.ruleId} at ${message.line}:${message.column}: ${message.message}`);
  }
  for (const scheme of ['light', 'dark']) {
    await page.emulateMedia({ colorScheme: scheme });
    // The page allows no foreign script; the browser's own tools may run one.
    const { violations } = await page.evaluate(async ([source]) => {
      if (!window.axe) { (0, eval)(source); }
      return window.axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] });
    }, [axe]);
    for (const found of violations) {
      must(false, `${where}, ${scheme}: ${found.id}: ${found.nodes.slice(0, 2).map((node) => `${node.html.slice(0, 120)} (${node.failureSummary?.split('\n')[1]?.trim()})`).join(' | ')}`);
    }
  }
  await page.emulateMedia({ colorScheme: 'light' });
};

/** Ends the run: fails where something did not hold. */
export const ended = (words) => {
  if (problems.length > 0) { console.error(`${problems.length} problems`); process.exit(1); }
  console.log(words);
};
