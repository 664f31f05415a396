// What this device keeps for the person: typed words until they are taken, and the one way to the browser's storage.

// Where the browser keeps nothing, words live as long as the page does.
const memory = new Map();

export function read(key, otherwise = null) {
  try {
    return JSON.parse(localStorage.getItem(key)) ?? memory.get(key) ?? otherwise;
  } catch {
    return memory.get(key) ?? otherwise;
  }
}

// Whether it will outlive the page.
export function write(key, value) {
  try {
    localStorage.setItem(key, JSON.stringify(value));
    return true;
  } catch {
    return false;
  }
}

export function forget(key) {
  memory.delete(key);
  try {
    localStorage.removeItem(key);
  } catch {
    // Then it was never kept.
  }
}

// Keys that begin so, in order.
export function keys(beginning) {
  try {
    return Object.keys(localStorage).filter((key) => key.startsWith(beginning)).sort();
  } catch {
    return [];
  }
}

// A UUID of version 7 (RFC 9562, section 5.7) that sorts after `last`, even if the clock was set back.
export function uuid7(last = "") {
  const before = Number.parseInt(last.replaceAll("-", "").slice(0, 12), 16) || 0;
  const at = Math.max(Date.now(), before + 1).toString(16).padStart(12, "0");
  const rest = crypto.getRandomValues(new Uint8Array(10));
  rest[0] = 0x70 | (rest[0] & 0x0f);
  rest[2] = 0x80 | (rest[2] & 0x3f);
  const hex = at + [...rest].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
}

// ---- drafts ----------------------------------------------------------------------------------------------------------

export const draftKey = (form) => `draft ${new URL(form.getAttribute("action"), location.href).pathname} ${form.dataset.keep}`;

const fields = (form) =>
  [...form.elements].filter((field) => field.name && !["hidden", "submit", "button", "file"].includes(field.type));

const asWritten = (field) => {
  if (field.type === "checkbox" || field.type === "radio") return field.checked === field.defaultChecked;
  if (field.options) return [...field.options].every((option) => option.selected === option.defaultSelected) || field.selectedIndex === 0;
  return field.value === field.defaultValue;
};

// Whether somebody typed or chose something here.
export const touched = (form) => fields(form).some((field) => !asWritten(field));

export function draftOf(form) {
  const draft = {};
  for (const field of fields(form)) {
    if (field.type === "radio") {
      if (field.checked) draft[field.name] = field.value;
    } else draft[field.name] = field.type === "checkbox" ? field.checked : field.value;
  }
  return draft;
}

export function keepDraft(form) {
  const draft = draftOf(form);
  if (!write(draftKey(form), draft)) memory.set(draftKey(form), draft);
}

// What was refused stands in the form already, as it was typed.
export function restoreDraft(form) {
  const draft = read(draftKey(form));
  if (!draft || form.querySelector(".problem")) return;
  for (const field of fields(form)) {
    if (!(field.name in draft)) continue;
    if (field.type === "checkbox") field.checked = draft[field.name];
    else if (field.type === "radio") field.checked = draft[field.name] === field.value;
    else if (!field.options || [...field.options].some((option) => option.value === draft[field.name])) field.value = draft[field.name];
    if (asWritten(field)) continue;
    for (let folded = field.closest("details"); folded; folded = folded.parentElement.closest("details")) folded.open = true;
  }
}

// The draft is done with, unless something else has been typed since.
export function dropDraft(key, typed) {
  if (JSON.stringify(read(key)) === JSON.stringify(typed)) forget(key);
}
