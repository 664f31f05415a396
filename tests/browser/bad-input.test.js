// What cannot be taken: said where the person is, with what was typed kept, and nothing written.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { inTheLog, tap, type } from "./lib/bench.js";
import { device, LAPTOP, openBrowser, PHONE, picture } from "./lib/browser.js";
import { furnish, TEE } from "./lib/pages.js";
import { openShop, readings } from "./lib/shop.js";

const TEN_MEGABYTES = 10_000_000;
const HTML = '<img src=x onerror="document.title=1"><b id="got-in">Ann</b>';

let browser;
let shop;
let pages;
before(async () => {
  browser = await openBrowser();
  shop = await openShop({ network: true });
  pages = await furnish(shop);
});
after(async () => {
  await browser?.close();
  await shop?.close();
});

const button = (page, name) => page.getByRole("button", { name, exact: true });
const entries = async (number) => {
  const record = await shop.record();
  const id = record.filter(({ event }) => event.kind === "taken-in")[number - 1].job;
  return record.filter((entry) => entry.job === id);
};

// Waits for what is wrong to be said, at `form`, in sight and where the keyboard is.
async function saidAt(form, words) {
  const problem = form.locator(".problem", { hasText: words });
  await problem.waitFor();
  assert.ok(await problem.evaluate((line) => line === document.activeElement), "the keyboard is there");
  // The page may still be scrolling there.
  const line = await problem.elementHandle();
  await form.page().waitForFunction((line) => {
    const { top, bottom } = line.getBoundingClientRect();
    return top >= -1 && bottom <= innerHeight + 1;
  }, line);
}

test("a note of ten megabytes stays in its form, and nothing is written", async () => {
  const { page, context, wrong } = await device(browser, shop, PHONE);
  const before = (await entries(1)).length;
  await page.goto("/jobs/1");
  await page.locator("details.step > summary", { hasText: /^Note/ }).tap();
  const form = page.locator('form[data-keep="note"]');
  const note = form.getByLabel("Note");
  await note.evaluate((field, letters) => {
    field.value = "a".repeat(letters);
    field.dispatchEvent(new Event("input", { bubbles: true }));
  }, TEN_MEGABYTES);
  await form.getByRole("button").tap();
  await saidAt(form, "Too long to send");
  assert.equal(await note.evaluate((field) => field.value.length), TEN_MEGABYTES);
  await picture(page, "bad-input-long-note");
  assert.equal((await entries(1)).length, before);
  await note.evaluate((field) => {
    field.value = "It rattles when cold.";
    field.dispatchEvent(new Event("input", { bubbles: true }));
  });
  await form.getByRole("button").tap();
  await inTheLog(page, "It rattles when cold.");
  assert.deepEqual(wrong, []);
  await context.close();
});

test("the shop's own door refuses it too, and says so on the page", async () => {
  const { page, context } = await device(browser, shop, PHONE);
  await page.goto("/jobs/1");
  // As a page without scripts sends it.
  await page.locator('form[data-keep="note"]').evaluate((form, letters) => {
    form.elements.text.value = "a".repeat(letters);
    HTMLFormElement.prototype.submit.call(form);
  }, TEN_MEGABYTES);
  await page.locator(".problem", { hasText: "10.0 megabytes" }).waitFor();
  await context.close();
});

test("HTML in names and notes is words and nothing else, on every page that shows them", async () => {
  const { page, context, wrong } = await device(browser, shop, LAPTOP);
  await page.goto("/new");
  await page.getByLabel("Circuit").selectOption("vacuum-wastegate");
  await type(page, page.getByLabel("The customer's words"), HTML);
  await type(page, page.getByLabel("Vehicle, in your own words"), HTML);
  await button(page, "Take it in").click();
  await page.waitForURL(/\/jobs\/\d+$/);
  const number = new URL(page.url()).pathname.split("/").at(-1);
  await page.locator("details.step > summary", { hasText: /^Note/ }).click();
  await type(page, page.locator('form[data-keep="note"]').getByLabel("Note"), HTML);
  await button(page, "Keep the note").click();
  await inTheLog(page, HTML);
  await page.goto("/shop");
  await type(page, page.getByLabel("People"), HTML);
  await page.locator("form[data-keep=facts] button").click();
  await page.waitForFunction((html) => [...document.querySelectorAll("option")].some((option) => option.value === html), HTML);
  await page.getByLabel("Who stands here").selectOption(HTML);
  await button(page, "Keep on this device").click();
  await page.waitForLoadState();
  for (const address of ["/", "/shop", ...["", "/offer", "/repair", "/proof", "/close", "/paper/job", "/paper/customer", "/plan", "/what-if", `/checks/${TEE}`].map((place) => `/jobs/${number}${place}`)]) {
    await page.goto(address);
    const seen = await page.evaluate(() => ({ title: document.title, in: document.querySelector("#got-in, img[src=x]") !== null, words: document.body.innerText }));
    assert.equal(seen.in, false, address);
    assert.notEqual(seen.title, "1", address);
    if (["/", `/jobs/${number}`].includes(address)) assert.ok(seen.words.includes(HTML), address);
  }
  await page.goto(`/jobs/${number}`);
  await picture(page, "bad-input-html");
  assert.deepEqual(wrong, []);
  await context.close();
});

const REFUSED = {
  "12 V": "`12 V` is a voltage",
  "5 bananas": "`bananas` is not a unit",
  900: "no vacuum is deeper than the air is heavy",
  "": "a pressure is missing here",
};
for (const [figure, words] of Object.entries(REFUSED)) {
  test(`a reading of \`${figure}\` says what is wrong with it`, async () => {
    const { page, context } = await device(browser, shop, PHONE);
    const before = readings(await entries(2));
    await page.goto(`/jobs/2/checks/${TEE}`);
    await page.locator("#figure").fill(figure);
    await page.getByLabel("Unit").selectOption("inHg");
    await button(page, "Note it").tap();
    await saidAt(page.locator("form.reading"), words);
    assert.equal(await page.locator("#figure").inputValue(), figure);
    await picture(page, `bad-input-reading-${figure.replace(/\W/g, "-")}`);
    assert.deepEqual(readings(await entries(2)), before);
    await context.close();
  });
}

test("a distance below zero, at the door and when a job is opened again", async () => {
  const { page, context } = await device(browser, shop, PHONE);
  await page.goto("/new");
  await page.getByLabel("Circuit").selectOption("vacuum-wastegate");
  await page.getByLabel("The customer's words").fill("slow");
  await page.getByLabel("Distance driven").fill("-3");
  await button(page, "Take it in").tap();
  await saidAt(page.locator("form.intake"), "cannot be the distance driven");
  assert.equal(await page.getByLabel("The customer's words").inputValue(), "slow");
  assert.ok(await page.getByLabel("Distance driven").isVisible(), "the field is in sight");
  assert.equal(await page.getByLabel("Distance driven").inputValue(), "-3");
  await picture(page, "bad-input-distance");
  await page.goto("/jobs/3/close");
  await page.getByLabel("Why it goes on").fill("no power again");
  await page.getByLabel("Distance driven").fill("-120000");
  await button(page, "Reopen the job").tap();
  await saidAt(page.locator("form[data-keep=reopen]"), "cannot be the distance driven");
  assert.equal(await page.getByLabel("Why it goes on").inputValue(), "no power again");
  await context.close();
});

test("an offer answered from a page that has gone stale is not answered, and its words stay", async () => {
  const { page, context } = await device(browser, shop, PHONE);
  await page.goto("/jobs/5/offer");
  await page.getByLabel("Words of the customer").fill("by telephone");
  await shop.say("note", "5", "the customer called");
  const before = (await entries(5)).length;
  await button(page, "They agree to 1").tap();
  await saidAt(page.locator("form[data-keep=offer]"), "since this offer was shown");
  assert.equal(await page.getByLabel("Words of the customer").inputValue(), "by telephone");
  assert.equal((await entries(5)).length, before);
  await picture(page, "bad-input-stale-offer");
  await button(page, "They agree to 1").tap();
  await page.locator(".state .stage", { hasText: "agreed" }).waitFor();
  await context.close();
});

test("two who close a job at once close it once, and the other is told", async () => {
  const people = [await device(browser, shop, PHONE), await device(browser, shop, LAPTOP)];
  for (const [index, { page }] of people.entries()) {
    await page.goto("/jobs/2/close");
    await page.getByLabel("It ends").selectOption("the customer stopped");
    await page.getByLabel("Why, or what it was").fill(`sold, says ${index}`);
  }
  await Promise.all(people.map(({ page }) => button(page, "Close the job").click()));
  const ends = people.map(({ page }) => Promise.race([
    page.waitForURL(/\/jobs\/2$/).then(() => "closed"),
    page.locator(".problem", { hasText: "closed" }).waitFor().then(() => "told"),
  ]));
  assert.deepEqual((await Promise.all(ends)).sort(), ["closed", "told"]);
  assert.equal((await entries(2)).filter(({ event }) => event.kind === "closed").length, 1);
  const told = people.findIndex(({ page }) => page.url().endsWith("/close"));
  await people[told].page.getByText(`You typed: sold, says ${told}`).waitFor();
  await picture(people[told].page, "bad-input-closed-meanwhile");
  for (const { context } of people) await context.close();
});

test("a picture that is none stays in its form with its words", async () => {
  const { page, context } = await device(browser, shop, PHONE);
  await page.goto("/jobs/1");
  const form = page.locator('form[enctype="multipart/form-data"]');
  await form.getByLabel("What it shows").fill("the split hose");
  await form.locator("input[type=file]").setInputFiles({ name: "hose.jpg", mimeType: "image/jpeg", buffer: Buffer.from("no picture at all") });
  await button(page, "Keep the picture").tap();
  await saidAt(form, /picture/);
  assert.equal(await form.getByLabel("What it shows").inputValue(), "the split hose");
  await picture(page, "bad-input-no-picture");
  const drawn = await page.screenshot({ type: "jpeg", clip: { x: 0, y: 0, width: 100, height: 100 } });
  await form.locator("input[type=file]").setInputFiles({ name: "hose.jpg", mimeType: "image/jpeg", buffer: drawn });
  await button(page, "Keep the picture").tap();
  await page.getByRole("img", { name: "the split hose" }).waitFor();
  await context.close();
});

test("what nobody knows is said, with a way on", async () => {
  const { page, context } = await device(browser, shop, PHONE);
  const unknown = {
    "/jobs/999": "No job `999`",
    "/jobs/999/offer": "No job `999`",
    "/jobs/no-such/what-if": "No job",
    "/jobs/1/parts/sauce-hose": "did you mean `source-hose`?",
    "/jobs/1/joints/valve.sauce": "has no joint",
    "/jobs/1/checks/tee:valve.sauce@idle": "has no check",
    "/jobs/1/paper/sheep": "nothing at this address",
    "/photos/no-such": "No picture",
    "/circuits/no-such": "no circuit `no-such`",
    "/circuits/no-such/edit": "no circuit `no-such`",
    "/what-if/no-such": "no circuit `no-such`",
    "/what-if/vacuum-wastegate?fault=valve/melted": "no fault `valve/melted`",
    "/practice/no-such": "cannot be understood",
    "/no/such/page": "nothing at this address",
  };
  for (const [address, words] of Object.entries(unknown)) {
    const answer = await page.goto(address);
    assert.ok([400, 404, 422].includes(answer.status()), `${address}: ${answer.status()}`);
    await page.locator("main", { hasText: new RegExp(words.replace(/[.*+?^${}()|[\]\\]/g, "\\$&"), "i") }).waitFor();
    assert.ok((await page.locator("main a").count()) > 0, `${address}: a way on`);
  }
  await context.close();
});
