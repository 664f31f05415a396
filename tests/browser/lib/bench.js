// What a person does at the bay screen, by taps alone.

// A finger where the page has one, else a pointer.
export async function tap(page, target) {
  if (page.touch) await target.tap();
  else await target.click();
}

// Taps a field and types on the keys that the device brings up; what stood there goes.
export async function type(page, field, words) {
  await tap(page, field);
  await field.selectText();
  await page.keyboard.press("Delete");
  await page.keyboard.type(words);
}

// Taps what leads to another page and waits until its heading stands there.
export async function onward(page, target, heading) {
  await tap(page, target);
  await page.getByRole("heading", { level: 1, name: heading }).waitFor();
}

// Types a figure on the page's number pad, as its language calls it.
export async function onThePad(page, figure, called = "Number pad") {
  const pad = page.getByRole("group", { name: called });
  for (const digit of figure) await tap(page, pad.getByText(digit, { exact: true }));
}

// Leads to the card of a check, however far down the list it stands.
export async function toCheck(page, check) {
  if ((await page.locator("section.card > p > code").allTextContents()).includes(check)) return;
  const instead = page.locator("details.others");
  if (!(await instead.evaluate((element) => element.open))) await tap(page, instead.locator("summary"));
  await tap(page, page.getByRole("link", { name: "All checks" }));
  await page.getByRole("heading", { level: 1, name: "All checks" }).waitFor();
  await tap(page, page.locator(`a[href$="/checks/${check}"]`));
  await page.locator("section.card > p > code", { hasText: check }).waitFor();
}

// Notes what a check read: a figure, with its unit if it is not the one that stands there, or an answer's button.
export async function note(page, check, what) {
  await toCheck(page, check);
  const form = page.locator("form.reading");
  if (what.figure) {
    await onThePad(page, what.figure);
    if (what.unit) await form.getByRole("combobox", { name: "Unit" }).selectOption(what.unit);
    await tap(page, form.getByRole("button", { name: "Note it" }));
  } else {
    await tap(page, form.getByRole("button", { name: what.answer, exact: true }));
  }
  await inTheLog(page, check);
}

// Waits until the job's page shows that something was done.
export async function inTheLog(page, words) {
  const log = page.locator("details.log");
  await log.locator("li", { hasText: words }).first().waitFor({ state: "attached" });
}
