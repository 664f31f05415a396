// A number pad for a dirty finger, with the decimal mark of the person's language.

import { words } from "./page.js";

const BACK = "⌫";
const KEYS = "⌨";

export function pads() {
  for (const field of document.querySelectorAll("[data-pad]")) pad(field);
}

// With `data-pad="there"` the pad comes once somebody is at the field: for pages with many figures.
function pad(field) {
  if (field.dataset.padded) return;
  field.dataset.padded = "yes";
  if (field.dataset.pad !== "there") return bring(field);
  if (matchMedia("(pointer: coarse)").matches) field.inputMode = "none";
  field.addEventListener("focus", () => bring(field), { once: true });
  if (document.activeElement === field) bring(field);
}

function bring(field) {
  const finger = matchMedia("(pointer: coarse)").matches;
  const mark = (0.5).toLocaleString(document.documentElement.lang).charAt(1);
  const pad = document.createElement("div");
  pad.className = "pad";
  pad.setAttribute("role", "group");
  pad.setAttribute("aria-label", words("pad"));
  const keys = ["7", "8", "9", BACK, "4", "5", "6", "−", "1", "2", "3", mark, "0", ...(finger ? [KEYS] : [])];
  for (const key of keys) pad.append(button(field, key));
  // A finger on the pad does not need the phone's own keys, until it asks for them.
  if (finger) field.inputMode = "none";
  field.closest(".row")?.after(pad);
}

function button(field, key) {
  const button = document.createElement("button");
  button.type = "button";
  button.className = "plain";
  button.textContent = key;
  // Whoever has a keyboard types; Tab goes on to what notes the figure.
  button.tabIndex = -1;
  const name = { [BACK]: "back", [KEYS]: "keys", "−": "minus" }[key];
  if (name) button.setAttribute("aria-label", words(name));
  if (key === "0") button.className = "plain wide-key";
  button.addEventListener("click", () => {
    if (key === KEYS) {
      field.inputMode = "text";
      field.focus();
      return;
    }
    field.value = key === BACK ? field.value.slice(0, -1) : field.value + key.replace("−", "-");
    field.dispatchEvent(new Event("input", { bubbles: true }));
  });
  return button;
}
