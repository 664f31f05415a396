// Exchanging a page's content without losing where the person is or what they are typing.

import { draftKey, restoreDraft, touched } from "./kept.js";
import { isSending } from "./outbox.js";

const PATIENCE_MS = 30000;

// Words of this page that only scripts show; the server writes them in the person's language.
export const words = (name, count) => (document.body.dataset[name] ?? "").replace("{n}", String(count ?? ""));

const dressers = [];
export function dress(more) {
  if (more) dressers.push(more);
  for (const form of document.querySelectorAll("form[data-keep]")) restoreDraft(form);
  for (const each of dressers) each();
}

let shown = location.pathname + location.search;

// `own`: the form whose answer this is. Without it the page is merely looked at anew.
export function show(html, { address, own } = {}) {
  const page = new DOMParser().parseFromString(html, "text/html");
  const [main, before] = [page.querySelector("main"), document.querySelector("main")];
  if (!main || !before) return;
  const moves = address !== undefined && new URL(address).pathname !== location.pathname;
  const back = own ? afterwards(own) : sameFocus(before);
  const open = moves ? [] : [...before.querySelectorAll("details[open] > summary")].map(name);
  for (const form of before.querySelectorAll("form[data-keep]")) {
    if (form !== own && !moves && touched(form)) holdOn(form, main);
  }
  before.replaceWith(main);
  document.title = page.title;
  if (moves) history.pushState(null, "", address);
  shown = location.pathname + location.search;
  for (const summary of main.querySelectorAll("details > summary")) {
    if (open.includes(name(summary))) summary.parentElement.open = true;
  }
  dress();
  const problem = own && main.querySelector(".problem");
  if (problem) focus(problem);
  else if (moves) focus(main.querySelector("#check, h1"), scrollTo(0, 0));
  else back(main);
}

// A count in its words may have changed.
const name = (summary) => summary.textContent.replace(/\d+/g, "");

// Says at a form why not, and leads there.
export function alarm(form, words) {
  form.querySelector(".problem")?.remove();
  const line = document.createElement("p");
  line.className = "problem";
  line.setAttribute("role", "alert");
  line.textContent = words;
  form.prepend(line);
  focus(line);
}

function focus(element) {
  if (!element) return;
  if (!element.matches("a, button, input, select, textarea, summary")) element.tabIndex = -1;
  element.focus();
}

// After an entry: where its form still stands, at that form; else at the next thing to do.
function afterwards(own) {
  const key = draftKey(own);
  return (main) => {
    const form = [...main.querySelectorAll("form[data-keep]")].find((form) => draftKey(form) === key);
    const first = form?.querySelector("input:not([type=hidden]), select, textarea, button");
    focus(first?.checkVisibility?.() === false ? form.closest("details")?.querySelector("summary") : (first ?? main.querySelector("#check, h1")));
  };
}

// The same element as before, with the caret where it was.
function sameFocus(before) {
  const was = document.activeElement;
  if (!was || !before.contains(was)) return () => {};
  const [form, from, to] = [was.form && draftKey(was.form), was.selectionStart, was.selectionEnd];
  const same = (other) =>
    other.tagName === was.tagName &&
    (was.id ? other.id === was.id : true) &&
    (was.form ? other.form && draftKey(other.form) === form && other.name === was.name && other.type === was.type : true) &&
    (was.form && !["submit", "button", "radio"].includes(was.type) ? true : other.getAttribute("href") === was.getAttribute("href") && name(other) === name(was) && other.value === was.value);
  return (main) => {
    const now = main.contains(was) ? was : [...main.querySelectorAll(was.tagName)].find(same);
    now?.focus({ preventScroll: true });
    if (from !== null && from !== undefined && now?.setSelectionRange) {
      try {
        now.setSelectionRange(from, to);
      } catch {
        // Not every field has a caret.
      }
    }
  };
}

// A form in which somebody is typing stays, although the page has moved on and no longer has it: nothing typed is lost and
// no figure lands at another check.
function holdOn(form, main) {
  const key = draftKey(form);
  if ([...main.querySelectorAll("form[data-keep]")].some((other) => draftKey(other) === key)) return;
  const held = form.closest("section, details") ?? form;
  const inPlace = held.matches(".card") && main.querySelector(".card:has(form.reading)");
  if (inPlace) inPlace.replaceWith(held);
  else main.querySelector("h1")?.after(held);
  if (held.querySelector(".meanwhile")) return;
  const note = document.createElement("p");
  note.className = "meanwhile";
  note.setAttribute("role", "status");
  const go = document.createElement("button");
  go.type = "button";
  go.className = "plain";
  go.textContent = words("go");
  go.addEventListener("click", () => {
    held.remove();
    look({ anyway: true });
  });
  note.append(words("meanwhile"), " ", go);
  held.prepend(note);
}

let asked = 0;
let behind = false;
let composing = false;

// A page with a job's record on it says how long that is.
const entries = (page) => page.querySelector("[data-entries]")?.dataset.entries;

// Looks at the same page anew; later, if an entry is on its way or a letter is being put together. Where the record is as
// long as what stands here, nothing is exchanged under the finger that taps, unless it is asked for.
export async function look({ anyway = false } = {}) {
  behind = composing || isSending();
  if (behind) return;
  const [turn, where] = [++asked, location.href];
  try {
    const answer = await fetch(where, { headers: { Accept: "text/html" }, signal: AbortSignal.timeout?.(PATIENCE_MS) });
    const html = await answer.text();
    if (!answer.ok || turn !== asked || where !== location.href) return;
    if (composing || isSending()) behind = true;
    else if (anyway || isNews(html)) show(html);
  } catch {
    // No network: what stands here stays.
  }
}

function isNews(html) {
  const here = entries(document);
  return here === undefined || entries(new DOMParser().parseFromString(html, "text/html")) !== here;
}

// Done with what looking had to wait for.
export function catchUp() {
  if (behind) look();
}

document.addEventListener("compositionstart", () => (composing = true));
document.addEventListener("compositionend", () => {
  composing = false;
  catchUp();
});
// A jump within the page is no other page.
addEventListener("popstate", () => {
  if (shown !== location.pathname + location.search) {
    shown = location.pathname + location.search;
    look({ anyway: true });
  }
});
