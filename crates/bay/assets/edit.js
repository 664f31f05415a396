// A description as it is typed: its findings underlined and listed, its drawing beside it. The newest text wins. What is
// typed is kept on the device until the shop has it.

import { forget, read, write } from "./kept.js";
import { alarm } from "./page.js";

const form = document.getElementById("edit");
const text = document.getElementById("text");
const marks = document.getElementById("marks");
const list = document.getElementById("findings");
const seen = document.getElementById("seen");
const note = document.getElementById("note");
const phone = matchMedia("(max-width: 48rem)");
const WAIT_MS = 250;

let waiting;
let busy = false;
let again = false;

// The same text under the textarea, with the culprits marked.
function underline(findings) {
  const pieces = document.createDocumentFragment();
  let at = 0;
  for (const found of findings) {
    const from = Math.max(found.from, at);
    const to = Math.max(found.to, found.from + 1);
    if (to <= from) continue;
    pieces.append(text.value.slice(at, from));
    const mark = document.createElement("mark");
    mark.className = found.error ? "error" : "warning";
    mark.textContent = text.value.slice(from, to) || " ";
    pieces.append(mark);
    at = to;
  }
  pieces.append(`${text.value.slice(at)}\n`);
  marks.replaceChildren(pieces);
  follow();
}

const follow = () => {
  marks.scrollTop = text.scrollTop;
  marks.scrollLeft = text.scrollLeft;
};

function tell(findings, more) {
  const lines = findings.map((found) => {
    const line = document.createElement("li");
    line.dataset.sort = found.error ? "error" : "warning";
    if (found.lang) line.lang = found.lang;
    const go = document.createElement("button");
    go.type = "button";
    go.className = "plain";
    go.textContent = `${form.dataset.line} ${found.line}: ${found.message}`;
    go.addEventListener("click", () => {
      text.focus();
      text.setSelectionRange(found.from, found.to);
      const height = text.scrollHeight / Math.max(1, text.value.split("\n").length);
      text.scrollTop = Math.max(0, (found.line - 5) * height);
    });
    line.append(go, ` ${[found.label, found.hint].filter(Boolean).join("; ")}`);
    return line;
  });
  if (more > 0) lines.push(Object.assign(document.createElement("li"), { textContent: `+ ${more}` }));
  if (lines.length === 0) lines.push(Object.assign(document.createElement("li"), { textContent: form.dataset.none }));
  list.replaceChildren(...lines);
}

async function look() {
  if (busy) {
    again = true;
    return;
  }
  busy = true;
  const looked = text.value;
  try {
    const answer = await fetch(form.dataset.look, {
      method: "POST",
      headers: { Accept: "application/json" },
      body: new URLSearchParams({ name: form.elements.name.value, text: looked, narrow: phone.matches }),
    });
    const state = await answer.json();
    if (!answer.ok) {
      tell([{ error: true, line: 1, message: state.detail, hint: state.hint, from: 0, to: 0 }], 0);
    } else if (looked === text.value) {
      tell(state.findings, state.more);
      underline(state.findings);
      note.textContent = state.note;
      if (state.svg) {
        const svg = new DOMParser().parseFromString(state.svg, "image/svg+xml").documentElement;
        seen.replaceChildren(document.importNode(svg, true));
        seen.classList.remove("old");
      } else {
        // The last drawing stays, paler, until the text is whole again.
        seen.classList.add("old");
        if (seen.querySelector("svg")) note.textContent = form.dataset.old;
      }
    } else {
      again = true;
    }
  } catch {
    // Without the network one goes on typing; the next stroke asks again.
  }
  busy = false;
  if (again) {
    again = false;
    look();
  }
}

// ---- what is typed, until the shop has it ------------------------------------------------------------------------------

const { name, before } = form.elements;
const key = `circuit ${name.defaultValue}`;
const kept = read(key);
if (kept && !form.querySelector(".problem") && kept.text !== text.value) {
  // With the mark of the text that it was made from: the shop notices what others changed since.
  [name.value, text.value, before.value] = [kept.name, kept.text, kept.before];
  const told = Object.assign(document.createElement("p"), { className: "aside", textContent: `${form.dataset.found} ` });
  const leave = Object.assign(document.createElement("button"), { type: "button", className: "plain", textContent: form.dataset.leave });
  leave.addEventListener("click", () => {
    forget(key);
    location.reload();
  });
  told.append(leave);
  form.prepend(told);
}

form.addEventListener("input", () => write(key, { name: name.value, text: text.value, before: before.value }));
form.addEventListener("submit", async (event) => {
  event.preventDefault();
  const button = event.submitter;
  if (button) button.disabled = true;
  try {
    const answer = await fetch(form.action, { method: "POST", body: new URLSearchParams(new FormData(form)) });
    if (answer.ok) {
      forget(key);
      return location.assign(answer.url);
    }
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    alarm(form, page.querySelector(".problem")?.textContent ?? String(answer.status));
  } catch {
    alarm(form, form.dataset.away);
  }
  if (button) button.disabled = false;
});

// ---- as one types ------------------------------------------------------------------------------------------------------

text.addEventListener("input", () => {
  underline([]);
  clearTimeout(waiting);
  waiting = setTimeout(look, WAIT_MS);
});
text.addEventListener("scroll", follow);
look();
