// Comfort for pages that work without it: ticks without a jump, ticks of other devices, waiting without a reload.

const sheet = document.querySelector('[data-sheet]');
const status = document.querySelector('[data-sync]');

/** Looks at a waiting page until it is done, then shows it. */
const wait = async () => {
  for (;;) {
    await new Promise((go) => setTimeout(go, 700));
    let text;
    try { text = await (await fetch(location.href)).text(); } catch { continue; }
    const fresh = new DOMParser().parseFromString(text, 'text/html');
    const now = document.querySelector('[data-waits]');
    const then = fresh.querySelector('[data-waits]');
    if (!then) { document.querySelector('main').replaceWith(fresh.querySelector('main')); return; }
    const [bar, next] = [now.querySelector('progress'), then.querySelector('progress')];
    if (bar && next) { bar.value = next.value; bar.previousElementSibling.textContent = next.previousElementSibling.textContent; }
    else { now.replaceWith(then); }
  }
};
if (document.querySelector('[data-waits]')) { wait(); }

if (sheet) {
  const base = sheet.dataset.sheet;
  const store = `reseat-unsent:${base}`;
  let last = Number(sheet.dataset.last);
  let unsent = [];
  try { unsent = JSON.parse(localStorage.getItem(store) || '[]'); } catch { unsent = []; }
  const keep = () => { try { localStorage.setItem(store, JSON.stringify(unsent)); } catch { /* a page without storage still sends */ } };
  const key = () => Array.from(crypto.getRandomValues(new Uint8Array(16)), (b) => b.toString(16).padStart(2, '0')).join('');

  const show = (step, done) => {
    const item = sheet.querySelector(`[data-step="${CSS.escape(step)}"]`);
    if (!item) { return; }
    item.toggleAttribute('data-done', done);
    item.querySelector('button.tick').setAttribute('aria-pressed', String(done));
    item.querySelector('form.tick input[name=kind]').value = done ? 'undone' : 'done';
    const count = document.querySelector('[data-count]');
    if (count) { count.textContent = String(sheet.querySelectorAll('[data-counts][data-done]').length); }
  };

  const note = (entry) => {
    const list = sheet.querySelector(`[data-notes="${CSS.escape(entry.step)}"]`);
    if (!list || list.querySelector(`[data-number="${entry.number}"]`)) { return; }
    const item = document.createElement('li');
    item.dataset.number = String(entry.number);
    const words = document.createElement('bdi');
    words.textContent = entry.text;
    const who = document.createElement('span');
    who.className = 'faint';
    who.textContent = ` ${entry.device}, ${entry.at}`;
    item.append(words, who);
    list.append(item);
  };

  const send = async () => {
    while (unsent.length > 0) {
      // An entry that was kept over a new start of the program goes out with the secret of the page that is open now.
      const token = sheet.querySelector('input[name=token]')?.value;
      const entry = token ? { ...unsent[0], token } : unsent[0];
      const reply = await fetch(`${base}/entries`, { method: 'POST', body: new URLSearchParams(entry) });
      if (reply.status === 403) { throw new Error('locked'); }
      if (!reply.ok && reply.status >= 500) { throw new Error('not kept'); }
      if (!reply.ok) { status.textContent = 'One entry was refused: open the page anew.'; }
      unsent.shift();
      keep();
    }
  };

  const look = async () => {
    const reply = await fetch(`${base}/entries?after=${last}`);
    if (reply.status === 403) { throw new Error('locked'); }
    if (!reply.ok) { throw new Error('no answer'); }
    const entries = await reply.json();
    for (const entry of entries) {
      last = Math.max(last, entry.number);
      if (entry.kind === 'note') { note(entry); } else if (!unsent.some((one) => one.step === entry.step)) { show(entry.step, entry.kind === 'done'); }
    }
  };

  let busy = false;
  const sync = async () => {
    if (busy) { return; }
    busy = true;
    try {
      await send();
      await look();
      if (status.textContent.startsWith('Not')) { status.textContent = ''; }
    } catch (error) {
      if (error.message === 'locked') {
        status.textContent = `Not connected: open the page anew, with the address reseat printed or the phone's code; ${unsent.length} kept on this device.`;
      } else { status.textContent = unsent.length > 0
        ? `Not connected: ${unsent.length} kept on this device, sent when the connection is back.`
        : 'Not connected.'; }
    }
    busy = false;
  };

  sheet.addEventListener('submit', (event) => {
    const form = event.target.closest('form[data-entry]');
    if (!form) { return; }
    event.preventDefault();
    const entry = { ...Object.fromEntries(new FormData(form)), key: key(), answer: 'script' };
    unsent.push(entry);
    keep();
    if (form.dataset.entry === 'tick') { show(entry.step, entry.kind === 'done'); } else { form.reset(); form.closest('details').open = false; }
    sync();
  });
  setInterval(sync, 2000);
  sync();
}
