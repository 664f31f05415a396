// Entries on their way to the shop: each is kept on this device before it is sent, sent in order, by one page at a time,
// and kept until the shop has answered. An entry that arrives twice counts once, by its id.

import { dropDraft, forget, keys, read, uuid7, write } from "./kept.js";

const WAITING = "waiting ";
const REFUSED = "refused ";
// After this long without an answer it is tried again later.
const PATIENCE_MS = 30000;
// The shop or a door did not look at the entry: it is worth trying again.
const LATER = [401, 408, 421, 425, 429];

export const waiting = () => keys(WAITING).map((key) => ({ key, ...read(key) }));
export const refused = () => keys(REFUSED).map((key) => ({ key, ...read(key) }));
export const discard = forget;

// Keeps an entry; its key, or nothing if the browser does not keep it.
export function put(entry) {
  const key = WAITING + uuid7(keys(WAITING).at(-1)?.slice(WAITING.length));
  return write(key, entry) ? key : undefined;
}

let sending = false;
export const isSending = () => sending;

// Sends what waits. With the key of an entry of this page, what became of it: `{ waits, status, html, address }`.
export async function flush(own) {
  if (navigator.locks) {
    return navigator.locks.request("outbox", { ifAvailable: !own }, (lock) => (lock ? send(own) : undefined));
  }
  return sending ? { waits: true } : send(own);
}

async function send(own) {
  const done = { delivered: 0 };
  sending = true;
  try {
    for (let key = keys(WAITING)[0]; key; key = keys(WAITING)[0]) {
      const entry = read(key);
      const answer = await post(entry);
      if (key === own && answer) Object.assign(done, answer);
      if (!answer || answer.status >= 500 || LATER.includes(answer.status)) break;
      if (answer.ok) {
        dropDraft(entry.draft, entry.typed);
        done.delivered += 1;
      } else if (key !== own) refuse(entry, answer.html);
      forget(key);
    }
  } finally {
    sending = false;
  }
  done.waits = own !== undefined && keys(WAITING).includes(own);
  return done;
}

// The answer, or nothing if there was none. An answer that breaks off counts as none.
export async function post({ address, body }) {
  try {
    const answer = await fetch(address, {
      method: "POST",
      body: typeof body === "string" ? new URLSearchParams(body) : body,
      headers: { Accept: "text/html" },
      signal: AbortSignal.timeout?.(PATIENCE_MS),
    });
    return { ok: answer.ok, status: answer.status, address: answer.url, html: await answer.text() };
  } catch {
    return undefined;
  }
}

// Nobody stands at the form any more: what was not taken is said with the reason, and its words go back to their form.
function refuse(entry, html) {
  const problem = new DOMParser().parseFromString(html, "text/html").querySelector(".problem");
  write(REFUSED + uuid7(), { what: entry.what, page: entry.page, why: problem?.textContent.trim() ?? "" });
  if (read(entry.draft) === null) write(entry.draft, entry.typed);
}
