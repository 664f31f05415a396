// What a page does beyond plain forms: a number pad, typed words kept, entries sent once when the network is back, and
// what others write shown at once. Without this script every form still works.

const OUTBOX = "outbox";
const AGAIN_MS = 4000;

const read = (key, otherwise) => {
  try {
    return JSON.parse(localStorage.getItem(key)) ?? otherwise;
  } catch {
    return otherwise;
  }
};
const write = (key, value) => {
  try {
    localStorage.setItem(key, JSON.stringify(value));
    return true;
  } catch {
    return false;
  }
};

// Words of this page that only the script shows; the server writes them in the person's language.
const words = (name, count) =>
  (document.body.dataset[name] ?? "").replace("{n}", String(count ?? ""));

// ---- typed words are kept until they are taken -----------------------------------------------------------------------

const draftKey = (form) => `draft ${new URL(form.action).pathname} ${form.dataset.keep}`;
const fields = (form) =>
  [...form.elements].filter((field) => field.name && !["hidden", "submit", "button"].includes(field.type));

function keepDraft(form) {
  const draft = {};
  for (const field of fields(form)) {
    draft[field.name] = field.type === "checkbox" ? field.checked : field.value;
  }
  write(draftKey(form), draft);
}

function restoreDraft(form) {
  const draft = read(draftKey(form), null);
  if (!draft || form.querySelector(".problem")) return;
  for (const field of fields(form)) {
    if (!(field.name in draft)) continue;
    if (field.type === "checkbox") field.checked = draft[field.name];
    else field.value = draft[field.name];
    const folded = field.closest("details");
    if (folded && draft[field.name] && field.type === "text") folded.open = true;
  }
}

const dropDraft = (key) => localStorage.removeItem(key);

// ---- a page's content is exchanged without losing where the person is -----------------------------------------------------

function show(html, address) {
  const page = new DOMParser().parseFromString(html, "text/html");
  const [main, before] = [page.querySelector("main"), document.querySelector("main")];
  if (!main || !before) return;
  const focused = document.activeElement?.id;
  const open = [...before.querySelectorAll("details[open] > summary")].map((summary) => summary.textContent);
  before.replaceWith(main);
  document.title = page.title;
  if (address && address !== location.href) history.pushState(null, "", address);
  for (const summary of main.querySelectorAll("details > summary")) {
    if (open.includes(summary.textContent)) summary.parentElement.open = true;
  }
  dress();
  const problem = main.querySelector(".problem");
  if (problem) {
    problem.tabIndex = -1;
    problem.focus();
  } else if (focused) {
    document.getElementById(focused)?.focus({ preventScroll: true });
  }
}

async function look() {
  try {
    const answer = await fetch(location.href, { headers: { Accept: "text/html" } });
    if (answer.ok) show(await answer.text());
  } catch {
    tell();
  }
}

// ---- entries are sent once, in order ---------------------------------------------------------------------------------

let sending = false;

async function submit(event) {
  const form = event.target.closest("form[data-keep]");
  if (!form || form.enctype === "multipart/form-data") return;
  event.preventDefault();
  const body = new URLSearchParams(new FormData(form, event.submitter));
  const entry = { address: form.action, body: body.toString(), draft: draftKey(form), what: what(form, body) };
  const kept = [...read(OUTBOX, []), entry];
  if (!write(OUTBOX, kept)) {
    form.submit();
    return;
  }
  for (const button of form.querySelectorAll("button")) button.disabled = true;
  await flush(true);
  for (const button of form.querySelectorAll("button")) button.disabled = false;
  if (form.isConnected && read(OUTBOX, []).some((other) => other.body === entry.body)) {
    // It waits; what comes next from this form is another entry.
    const name = form.elements.entry ?? form.elements.job;
    if (name) name.value = crypto.randomUUID();
    form.reset();
    dropDraft(entry.draft);
  }
}

const what = (form, body) =>
  [body.get("check"), body.get("step"), body.get("sort"), body.get("figure"), body.get("unit"), body.get("text")]
    .filter(Boolean)
    .join(" ");

// Sends what waits. An answer that refuses an entry is shown where the person is, and the entry does not hold up the others.
async function flush(here) {
  if (sending) return;
  sending = true;
  try {
    for (let waiting = read(OUTBOX, []); waiting.length > 0; waiting = read(OUTBOX, [])) {
      const entry = waiting[0];
      let answer;
      try {
        answer = await fetch(entry.address, {
          method: "POST",
          body: new URLSearchParams(entry.body),
          headers: { Accept: "text/html" },
        });
      } catch {
        break;
      }
      if (answer.status >= 500 || answer.status === 429) break;
      write(OUTBOX, read(OUTBOX, []).slice(1));
      dropDraft(entry.draft);
      const last = read(OUTBOX, []).length === 0;
      if (!answer.ok) write("refused", [...read("refused", []), entry.what]);
      if (last && (here || answer.ok)) show(await answer.text(), answer.ok ? answer.url : undefined);
    }
  } finally {
    sending = false;
    tell();
  }
}

// Says what waits on this phone, and what was not taken.
function tell() {
  let note = document.getElementById("outbox");
  const waiting = read(OUTBOX, []);
  if (waiting.length === 0) {
    note?.remove();
    return;
  }
  if (!note) {
    note = document.createElement("p");
    note.id = "outbox";
    note.setAttribute("role", "status");
    document.body.prepend(note);
  }
  const text = `${words("waiting", waiting.length)} ${waiting.map((entry) => entry.what).join("; ")}`;
  if (note.textContent !== text) note.textContent = text;
}

// ---- what others write -------------------------------------------------------------------------------------------------

let source;

function listen() {
  const address = document.querySelector("[data-events]")?.dataset.events;
  if (source && new URL(source.url).pathname === address) return;
  source?.close();
  source = undefined;
  if (!address) return;
  source = new EventSource(address);
  source.addEventListener("changed", () => {
    if (!sending) look();
  });
  // After a gap something may have happened.
  let first = true;
  source.addEventListener("open", () => {
    if (!first) look();
    first = false;
    flush(false);
  });
}

// ---- number pad ------------------------------------------------------------------------------------------------------------

function pad(field) {
  if (field.dataset.padded) return;
  field.dataset.padded = "yes";
  const keys = document.createElement("div");
  keys.className = "pad";
  const comma = (0.5).toLocaleString(document.documentElement.lang).charAt(1);
  for (const key of ["7", "8", "9", "4", "5", "6", "1", "2", "3", comma, "0", "⌫"]) {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "plain";
    button.textContent = key;
    if (key === "⌫") button.setAttribute("aria-label", words("back"));
    button.addEventListener("click", () => {
      field.value = key === "⌫" ? field.value.slice(0, -1) : field.value + key;
      field.dispatchEvent(new Event("input", { bubbles: true }));
    });
    keys.append(button);
  }
  // A finger on the pad does not need the phone's own keys.
  if (matchMedia("(pointer: coarse)").matches) field.inputMode = "none";
  field.closest(".row")?.after(keys);
}

// ---- all together ------------------------------------------------------------------------------------------------------------

function dress() {
  for (const form of document.querySelectorAll("form[data-keep]")) restoreDraft(form);
  for (const field of document.querySelectorAll("[data-pad]")) pad(field);
  listen();
  tell();
}

document.addEventListener("submit", submit);
document.addEventListener("input", (event) => {
  const form = event.target.closest?.("form[data-keep]");
  if (form) keepDraft(form);
});
addEventListener("popstate", look);
addEventListener("online", () => flush(false));
setInterval(() => {
  if (read(OUTBOX, []).length > 0) flush(false);
}, AGAIN_MS);
dress();
flush(false);
