// Starting the program for a browser test.
import { spawn } from 'node:child_process';
import { join } from 'node:path';

/** What chromium is started with: no graphics card, and nothing of its own on the network. */
export const BROWSER = {
  executablePath: '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'],
};

/** Starts the program on the store in this folder; gives its process, the address that lets in, and the page's own. */
export const start = (program, folder, more = []) => new Promise((go, fail) => {
  const child = spawn(program, ['page', '--store', join(folder, 'bench.db'), '--port', '0', ...more]);
  let out = '';
  child.stdout.on('data', (bytes) => {
    out += bytes;
    const page = out.match(/http:\/\/[^\s]+\/open\/\S+/);
    if (page && out.includes('Ctrl-C')) { go({ child, open: page[0], base: new URL(page[0]).origin }); }
  });
  child.stderr.on('data', (bytes) => process.stderr.write(bytes));
  child.on('exit', (code) => fail(new Error(`reseat ended with ${code}: ${out}`)));
});

/** Ends it. */
export const end = (child) => {
  child.removeAllListeners('exit');
  child.kill('SIGINT');
};
