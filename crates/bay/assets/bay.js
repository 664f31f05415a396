// What a page does beyond plain forms: typed words kept, entries sent once and in order when the network is back, what
// others write shown at once, a number pad. Without scripts every form still works.

import { listen } from "./changes.js";
import { draftKey, draftOf, forget, keepDraft, uuid7 } from "./kept.js";
import { discard, flush, put, refused, waiting } from "./outbox.js";
import { pads } from "./pad.js";
import { catchUp, dress, look, show, words } from "./page.js";

const AGAIN_MS = 4000;

async function submit(event) {
  const form = event.target.closest("form[data-keep]");
  if (!form || form.method !== "post" || form.enctype === "multipart/form-data") return;
  if (form.ariaBusy === "true") return event.preventDefault();
  const body = new URLSearchParams(new FormData(form));
  if (event.submitter?.name) body.append(event.submitter.name, event.submitter.value);
  const address = new URL(form.getAttribute("action"), location.href).href;
  const entry = { address, body: body.toString(), draft: draftKey(form), typed: draftOf(form), what: what(form, event.submitter), page: location.pathname };
  keepDraft(form);
  const key = put(entry);
  // A browser that keeps nothing sends the form itself.
  if (!key) return;
  event.preventDefault();
  busy(form, true);
  tell();
  const done = await flush(key);
  busy(form, false);
  tell();
  if (done.html !== undefined && !(done.waits && done.status >= 500)) {
    show(done.html, { own: form, address: done.ok ? done.address : undefined });
  } else if (!done.waits) look();
  if (done.waits) another(form, entry);
  catchUp();
}

function busy(form, is) {
  form.ariaBusy = is ? "true" : "false";
  for (const button of form.querySelectorAll("button")) button.disabled = is;
}

// The entry waits; what comes next from this form is another.
function another(form, entry) {
  forget(entry.draft);
  form.querySelector(".problem")?.remove();
  form.reset();
  const id = form.elements.entry ?? form.elements.job;
  if (id) id.value = uuid7();
  tell();
}

// An entry in few words: what was typed or pressed, and what for.
function what(form, submitter) {
  const { figure, unit, text } = form.elements;
  const typed = [figure?.value, figure?.value && unit?.value, text?.value].filter(Boolean);
  const pressed = typed.length > 0 && submitter?.value === "is" ? [] : [submitter?.textContent.trim()];
  const place = form.closest("section, details")?.querySelector("h2, summary") ?? document.querySelector("h1");
  return `${[...pressed, ...typed].filter(Boolean).join(" ")} (${place?.textContent.replace(/\s+/g, " ").trim()})`;
}

// Says what waits on this device, and what was not taken.
function tell() {
  const box = document.getElementById("outbox");
  const [waits, not] = [waiting(), refused()];
  const now = JSON.stringify([waits, not]);
  if (box.dataset.now === now) return;
  box.dataset.now = now;
  box.replaceChildren();
  if (waits.length > 0) line(box, `${words("waiting", waits.length)} ${waits.map((entry) => entry.what).join("; ")}`);
  for (const entry of not) {
    const said = line(box, `${words("refused")} ${entry.what}. ${entry.why} `);
    const page = document.createElement("a");
    page.href = entry.page;
    page.className = "more";
    page.textContent = words("there");
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = words("discard");
    button.addEventListener("click", () => {
      discard(entry.key);
      tell();
    });
    said.append(page, " ", button);
  }
}

function line(box, text) {
  const line = document.createElement("p");
  line.textContent = text;
  box.append(line);
  return line;
}

async function deliver() {
  const done = await flush();
  tell();
  if (done?.delivered) look();
  else catchUp();
}

document.addEventListener("submit", submit);
document.addEventListener("input", (event) => {
  const form = event.target.closest?.("form[data-keep]");
  if (form) keepDraft(form);
});
addEventListener("online", deliver);
addEventListener("reachable", deliver);
addEventListener("storage", tell);
setInterval(() => {
  if (waiting().length > 0) deliver();
}, AGAIN_MS);
dress(pads);
dress(listen);
dress(tell);
deliver();
