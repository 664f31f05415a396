// A shop's own circuit: copied from a shipped one, broken and mended as text with the drawing beside it, described anew.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { onward, tap, type } from "./lib/bench.js";
import { device, LAPTOP, openBrowser, PHONE, picture } from "./lib/browser.js";
import { openShop } from "./lib/shop.js";

const TITLE = 'title = "Vacuum wastegate';

let browser;
let shop;
before(async () => {
  browser = await openBrowser({ bars: true });
  shop = await openShop();
});
after(async () => {
  await browser?.close();
  await shop?.close();
});

const text = (page) => page.getByLabel("Description");
const findings = (page) => page.locator("#findings li");
const drawn = (page, part) => page.locator("#seen:not(.old) svg", { hasText: part }).waitFor();
const kept = (name) => readFile(join(shop.folder, "circuits", `${name}.toml`), "utf8");
const keep = (page) => tap(page, page.getByRole("button", { name: "Keep it" }));

// Puts the caret behind `words`, as a finger does, and the line into sight.
const caret = (page, words) =>
  text(page).evaluate((area, words) => {
    const at = area.value.indexOf(words) + words.length;
    if (at < words.length) throw new Error(`no ${words}`);
    area.focus();
    area.setSelectionRange(at, at);
    area.scrollTop = (area.value.slice(0, at).split("\n").length - 4) * Number.parseFloat(getComputedStyle(area).lineHeight);
  }, words);

async function copied(page, name) {
  await page.goto("/circuits/vacuum-wastegate");
  await onward(page, page.getByRole("link", { name: "Copy and change" }), "Change a circuit");
  await type(page, page.getByLabel("Name"), name);
  await drawn(page, "source-line");
}

// Runs in the page: words that are underlined, and whether each mark lies where the text itself has them.
function underlined() {
  const [area, marks] = [document.getElementById("text"), document.getElementById("marks")];
  const style = getComputedStyle(area);
  const [line, box] = [Number.parseFloat(style.lineHeight), area.getBoundingClientRect()];
  return [...marks.querySelectorAll("mark")].map((mark) => {
    const before = document.createRange();
    before.setStart(marks, 0);
    before.setEndBefore(mark);
    const above = before.toString().split("\n").length - 1;
    const column = before.toString().length - before.toString().lastIndexOf("\n") - 1;
    const pen = document.createElement("canvas").getContext("2d");
    pen.font = style.font;
    const left = box.left + area.clientLeft + Number.parseFloat(style.paddingLeft) + column * pen.measureText("0").width - area.scrollLeft;
    const top = box.top + area.clientTop + Number.parseFloat(style.paddingTop) + above * line - area.scrollTop;
    const at = mark.getBoundingClientRect();
    const off = [Math.abs(at.left - left), Math.abs((at.top + at.bottom) / 2 - top - line / 2)];
    return { words: mark.textContent, class: mark.className, decoration: getComputedStyle(mark).textDecorationLine, off: Math.max(...off) };
  });
}

for (const [name, size] of [["phone", PHONE], ["laptop", LAPTOP]]) {
  test(`a circuit is broken and mended as it is typed, on a ${name}`, async () => {
    const own = `our-${name}`;
    const { page, wrong, context } = await device(browser, shop, size);
    page.touch = size.hasTouch;
    await copied(page, own);
    await findings(page).filter({ hasText: "Nothing to complain of" }).waitFor();
    await picture(page, `circuits-${name}-1-copied`);

    // A volt where a volume belongs: underlined at its place, told with its line, the last drawing paler.
    await caret(page, 'swept = "130 cm3/rev');
    for (let letter = 0; letter < 7; letter += 1) await page.keyboard.press("Backspace");
    await page.keyboard.type("V");
    const finding = findings(page).filter({ hasText: "is a voltage, not a swept volume" });
    await finding.waitFor();
    const line = (await text(page).inputValue()).split("130 V")[0].split("\n").length;
    assert.match(await finding.textContent(), new RegExp(`^line ${line}:`));
    const marks = await page.evaluate(underlined);
    assert.deepEqual(marks.map(({ words }) => words), ["V"]);
    assert.equal(marks[0].class, "error");
    assert.equal(marks[0].decoration, "underline");
    assert.ok(marks[0].off < 1.5, `${marks[0].off} px beside its word`);
    await page.locator("#seen.old svg").waitFor();
    await picture(page, `circuits-${name}-2-broken`);

    // A second one far below; the list leads to it.
    await caret(page, 'from = "pump.inlet');
    await page.keyboard.type("s");
    await findings(page).nth(1).waitFor();
    await text(page).evaluate((area) => ([area.scrollTop, area.scrollLeft] = [0, 0]));
    await tap(page, findings(page).filter({ hasText: "no port `inlets`" }).getByRole("button"));
    const [from, to] = await text(page).evaluate((area) => [area.selectionStart, area.selectionEnd]);
    assert.match((await text(page).inputValue()).slice(from, to), /inlets/);
    for (const { words, off } of await page.evaluate(underlined)) assert.ok(off < 1.5, `${words}: ${off} px beside its place`);
    // However far it is scrolled, the marks are where the text is.
    const scrolled = await page.evaluate(async () => {
      const [area, marks] = [document.getElementById("text"), document.getElementById("marks")];
      area.scrollTo(area.scrollWidth, area.scrollHeight);
      await new Promise(requestAnimationFrame);
      await new Promise(requestAnimationFrame);
      return [area.scrollLeft - marks.scrollLeft, area.scrollTop - marks.scrollTop];
    });
    assert.deepEqual(scrolled, [0, 0]);

    // Kept with its errors, it opens where it can be mended.
    await keep(page);
    await page.waitForURL(new RegExp(`/circuits/${own}/edit`));
    assert.match(await kept(own), /130 V/);
    await caret(page, "pump.inlets");
    await page.keyboard.press("Backspace");
    await caret(page, "130 V");
    await page.keyboard.press("Backspace");
    await page.keyboard.type("cm3/rev");
    await findings(page).filter({ hasText: "Nothing to complain of" }).waitFor();
    await drawn(page, "source-line");
    // A part is called otherwise: what leads to it is told until it follows, then it is drawn so.
    await caret(page, "[part.driver-wire");
    await page.keyboard.type("-x");
    await findings(page).filter({ hasText: "there is no part `driver-wire`" }).first().waitFor();
    for (const place of ['minus = "driver-wire', '\n"driver-wire']) {
      await caret(page, place);
      await page.keyboard.type("-x");
    }
    await drawn(page, "driver-wire-x");
    await picture(page, `circuits-${name}-3-mended`);
    await keep(page);
    await page.waitForURL(new RegExp(`/circuits/${own}$`));
    await page.getByRole("link", { name: "Change" }).waitFor();
    assert.match(await kept(own), /\[part\.driver-wire-x\]/);
    assert.deepEqual(wrong, []);
    await context.close();
  });
}

test("what is typed outlives the network and the page, and is kept once both are back", async () => {
  const { page, context, wrong } = await device(browser, shop, PHONE);
  await copied(page, "our-away");
  await context.setOffline(true);
  await caret(page, TITLE);
  await page.keyboard.type("-y");
  await keep(page);
  await page.locator("#edit .problem", { hasText: "kept on this device" }).waitFor();
  assert.match(await text(page).inputValue(), /wastegate-y/);
  await picture(page, "circuits-away");
  await context.setOffline(false);
  await page.reload();
  await page.getByText("What was typed here last is still here").waitFor();
  assert.match(await text(page).inputValue(), /wastegate-y/);
  assert.equal(await page.getByLabel("Name").inputValue(), "our-away");
  await keep(page);
  await page.waitForURL(/\/circuits\/our-away$/);
  assert.match(await kept("our-away"), /wastegate-y/);
  await page.goto("/circuits/vacuum-wastegate/edit");
  assert.doesNotMatch(await text(page).inputValue(), /wastegate-y/, "what is kept is no draft any more");
  assert.deepEqual(wrong, []);
  await context.close();
});

test("two who change one circuit: the second is told, and keeps what was typed under another name", async () => {
  const [one, other] = [await device(browser, shop), await device(browser, shop)];
  await copied(one.page, "our-two");
  await keep(one.page);
  await one.page.waitForURL(/\/circuits\/our-two$/);
  for (const { page } of [one, other]) await page.goto("/circuits/our-two/edit");
  await caret(one.page, TITLE);
  await one.page.keyboard.type("-a");
  await keep(one.page);
  await one.page.waitForURL(/\/circuits\/our-two$/);
  await caret(other.page, TITLE);
  await other.page.keyboard.type("-b");
  await keep(other.page);
  const problem = other.page.locator("#edit .problem", { hasText: "There is another `our-two` by now" });
  await problem.waitFor();
  assert.ok(await problem.evaluate((line) => line === document.activeElement), "said where the person is");
  assert.match(await text(other.page).inputValue(), /wastegate-b/);
  await type(other.page, other.page.getByLabel("Name"), "Our Two");
  await keep(other.page);
  await other.page.locator("#edit .problem", { hasText: "cannot be the name of a circuit" }).waitFor();
  await type(other.page, other.page.getByLabel("Name"), "our-two-b");
  await keep(other.page);
  await other.page.waitForURL(/\/circuits\/our-two-b$/);
  assert.match(await kept("our-two"), /wastegate-a/);
  assert.match(await kept("our-two-b"), /wastegate-b/);
  await one.context.close();
  await other.context.close();
});

test("a new circuit from a form: what is wanted is marked, what is typed is there", async () => {
  const { page, context, wrong } = await device(browser, shop, PHONE);
  page.touch = true;
  await page.goto("/circuits");
  await onward(page, page.getByRole("link", { name: "Describe a new circuit" }), "A new circuit");
  await type(page, page.getByLabel("Name: small letters"), "our-lamp");
  await type(page, page.getByLabel("Title"), "A <b>lamp</b> in a box");
  for (const [row, [part, kind, joined]] of [["battery", "battery", ""], ["lamp", "lamp", "plus = battery.positive, minus = battery.negative"]].entries()) {
    const fields = page.locator("fieldset").nth(row);
    await type(page, fields.getByRole("textbox").first(), part);
    await fields.getByRole("combobox").selectOption(kind);
    if (joined) await type(page, fields.getByRole("textbox").last(), joined);
  }
  await picture(page, "circuits-new-form");
  await onward(page, page.getByRole("button", { name: "Write the description" }), "A new circuit");
  await text(page).waitFor();
  assert.match(await text(page).inputValue(), /title = "A <b>lamp<\/b> in a box"\n[^]*\[part\.lamp\]\nkind = "lamp"\nplus = "battery\.positive"/);
  await picture(page, "circuits-new-text");
  await keep(page);
  await page.waitForURL(/\/circuits\/our-lamp/);
  assert.match(await kept("our-lamp"), /<b>lamp/);
  assert.deepEqual(wrong, []);
  await context.close();
});
