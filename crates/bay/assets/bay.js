// What a page does beyond plain forms: typed words kept, entries sent once and in order when the network is back, what
// others write shown at once, a number pad. Without scripts every form still works.

import { listen } from "./changes.js";
import { draftKey, draftOf, forget, keepDraft, uuid7 } from "./kept.js";
import { discard, flush, post, put, refused, waiting } from "./outbox.js";
import { pads } from "./pad.js";
import { alarm, catchUp, dress, look, show, words } from "./page.js";

const AGAIN_MS = 4000;
// Letters of a note that stand for it.
const FEW = 60;

function submit(event) {
  const form = event.target.closest("form");
  const picture = form?.enctype === "multipart/form-data";
  if (form?.method !== "post" || !(form.dataset.keep || picture)) return;
  event.preventDefault();
  if (form.ariaBusy === "true") return;
  if (picture) send(form, new FormData(form));
  else enter(form, event.submitter);
}

async function enter(form, submitter) {
  const body = new URLSearchParams(new FormData(form));
  if (submitter?.name) body.append(submitter.name, submitter.value);
  const entry = { address: address(form), body: body.toString(), draft: draftKey(form), typed: draftOf(form), what: what(form, submitter), page: location.pathname };
  // The shop's door would not take it, so it is not sent.
  if (entry.body.length > Number(document.body.dataset.most)) return alarm(form, words("long"));
  keepDraft(form);
  const key = put(entry);
  if (!key) return send(form, body);
  busy(form, true);
  tell();
  const done = await flush(key);
  busy(form, false);
  tell();
  if (done.html !== undefined && !(done.waits && done.status >= 500)) answered(form, done);
  else if (!done.waits) look({ anyway: true });
  if (done.waits) another(form, entry);
  catchUp();
}

// What the browser does not keep is sent at once, or stays in the form.
async function send(form, body) {
  busy(form, true);
  const done = await post({ address: address(form), body });
  busy(form, false);
  if (!done) return alarm(form, words("unsent"));
  if (done.ok && form.dataset.keep) forget(draftKey(form));
  answered(form, done);
  catchUp();
}

const address = (form) => new URL(form.getAttribute("action"), location.href).href;

// The page that the shop answers with. One that only says why not has no form: then the reason goes to what was typed.
function answered(form, done) {
  const why = !done.ok && !done.waits && new DOMParser().parseFromString(done.html, "text/html").querySelector("[data-alone]");
  if (why) alarm(form, why.textContent.trim());
  else show(done.html, { own: form, address: done.ok ? done.address : undefined });
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
  const typed = [figure?.value, figure?.value && unit?.value, text?.value.slice(0, FEW)].filter(Boolean);
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
