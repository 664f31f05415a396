// The network goes and comes, two people work on one job, and nothing that somebody typed is lost or counted twice.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { inTheLog, note } from "./lib/bench.js";
import { device, openBrowser, PHONE, picture } from "./lib/browser.js";
import { openShop, readings } from "./lib/shop.js";

const TEE = "tee:valve.source@idle";
const DEADHEAD = "deadhead:valve.source@idle";

let browser;
let shop;
before(async () => {
  browser = await openBrowser();
  shop = await openShop();
});
after(async () => {
  await browser?.close();
  await shop?.close();
});

// A fresh job on the invented vehicle; its number.
async function job() {
  await shop.takeIn();
  return (await shop.record()).filter(({ event }) => event.kind === "taken-in").length;
}

async function of(number) {
  const record = await shop.record();
  const id = record.filter(({ event }) => event.kind === "taken-in")[number - 1].job;
  return record.filter((entry) => entry.job === id);
}

const figure = (page) => page.locator("#figure");
const noteIt = (page) => page.getByRole("button", { name: "Note it" });
const waits = (page, text) => page.locator("#outbox", { hasText: text }).waitFor();
const nothingWaits = (page) => page.waitForFunction(() => document.getElementById("outbox").textContent === "");

test("what one notes stands on the other's screen at once, and the other's typing is kept", async () => {
  const number = await job();
  const [one, other] = [await device(browser, shop), await device(browser, shop, PHONE)];
  await one.page.goto(`/jobs/${number}`);
  await other.page.goto(`/jobs/${number}`);
  await figure(other.page).click();
  await figure(other.page).pressSequentially("18.");
  const check = await other.page.locator("section.card > p > code").textContent();
  await note(one.page, check, { figure: "23.5" });
  await inTheLog(other.page, `${check}: 23.5`);
  assert.equal(await figure(other.page).inputValue(), "18.", "what was typed is still there");
  assert.equal(await other.page.locator("section.card > p > code").first().textContent(), check, "at the check it was typed for");
  assert.equal(await other.page.evaluate(() => document.activeElement.id), "figure", "and so is the caret");
  await figure(other.page).pressSequentially("5");
  assert.equal(await figure(other.page).inputValue(), "18.5");
  await picture(other.page, "network-1-meanwhile");
  await other.page.getByRole("button", { name: "Leave it and go on" }).click();
  await other.page.locator("section.card > p > code").filter({ hasNotText: check }).first().waitFor();
  assert.deepEqual([...one.wrong, ...other.wrong], []);
  await one.context.close();
  await other.context.close();
});

test("a reading typed while the network is away waits, and is delivered once and in order", async () => {
  const number = await job();
  const { page, context, wrong } = await device(browser, shop, PHONE);
  await page.goto(`/jobs/${number}/checks/${DEADHEAD}`);
  await figure(page).fill("23");
  await context.setOffline(true);
  await figure(page).fill("23.5");
  await page.getByLabel("Unit").selectOption("inHg");
  await noteIt(page).click();
  await waits(page, "23.5 inHg");
  assert.equal(await figure(page).inputValue(), "", "the form is free for the next reading");
  await figure(page).fill("22.5");
  await page.getByLabel("Unit").selectOption("inHg");
  await noteIt(page).click();
  await waits(page, "22.5 inHg");
  await picture(page, "network-2-waiting");
  assert.deepEqual(readings(await of(number)), [], "nothing has arrived");

  await context.setOffline(false);
  await nothingWaits(page);
  const once = [`${DEADHEAD}: 23.5 inHg`, `${DEADHEAD}: 22.5 inHg`];
  assert.deepEqual(readings(await of(number)), once);
  await page.reload();
  await nothingWaits(page);
  assert.deepEqual(readings(await of(number)), once, "once is once");
  assert.deepEqual(wrong, []);
  await context.close();
});

test("what waits outlives the page, and two pages deliver it once", async () => {
  const number = await job();
  const { page, context } = await device(browser, shop, PHONE);
  await page.goto(`/jobs/${number}/checks/${TEE}`);
  await context.setOffline(true);
  await figure(page).fill("9");
  await page.getByLabel("Unit").selectOption("inHg");
  await noteIt(page).click();
  await waits(page, "9 inHg");
  await page.close();
  await context.setOffline(false);
  const [first, second] = [await context.newPage(), await context.newPage()];
  await Promise.all([first.goto(`/jobs/${number}`), second.goto(`/jobs/${number}`)]);
  await inTheLog(first, `${TEE}: 9 inHg`);
  await inTheLog(second, `${TEE}: 9 inHg`);
  await nothingWaits(first);
  await nothingWaits(second);
  assert.deepEqual(readings(await of(number)), [`${TEE}: 9 inHg`]);
  await context.close();
});

test("an answer that is lost on its way back does not make two readings of one", async () => {
  const number = await job();
  const { page, context } = await device(browser, shop);
  await page.goto(`/jobs/${number}/checks/${TEE}`);
  let lost = 0;
  await context.route(/\/readings$/, async (route) => {
    if (lost++ > 0) return route.continue();
    await route.fetch({ maxRedirects: 0 });
    return route.abort("connectionreset");
  });
  await figure(page).fill("9");
  await page.getByLabel("Unit").selectOption("inHg");
  await noteIt(page).click();
  await page.waitForFunction(() => document.getElementById("outbox").textContent !== "");
  await nothingWaits(page);
  assert.ok(lost > 1, "it was sent again");
  assert.deepEqual(readings(await of(number)), [`${TEE}: 9 inHg`]);
  await context.close();
});

test("a refused figure says so where it was typed, and keeps it", async () => {
  const number = await job();
  const { page, context } = await device(browser, shop, PHONE);
  await page.goto(`/jobs/${number}`);
  await figure(page).fill("twelve");
  await noteIt(page).click();
  const problem = page.locator("form.reading .problem");
  await problem.waitFor();
  assert.equal(await figure(page).inputValue(), "twelve");
  assert.ok(await problem.evaluate((element) => element === document.activeElement), "the reason is where the person is");
  await picture(page, "network-3-refused");
  await figure(page).fill("9,5");
  await noteIt(page).click();
  await page.locator("details.log li", { hasText: ": 9.5 " }).waitFor({ state: "attached" });
  assert.equal(readings(await of(number)).length, 1, "a decimal comma is one");
  await page.goto(`/jobs/${number}`);
  assert.equal(await figure(page).inputValue(), "", "what was taken is no draft any more");
  await context.close();
});

test("a page that has gone stale says what happened meanwhile and what was typed", async () => {
  const number = await job();
  const { page, context } = await device(browser, shop, PHONE);
  await page.goto(`/jobs/${number}/checks/${TEE}`);
  await figure(page).fill("9");
  await shop.say("close", String(number), "--nothing-wrong");
  await noteIt(page).click();
  await page.locator(".problem").waitFor();
  assert.match(await page.locator("main").textContent(), /It was: 9/);
  assert.deepEqual(readings(await of(number)), []);
  await picture(page, "network-4-stale");
  await context.close();
});

test("what is refused after the network came back is shown with its reason, and its words go back to the form", async () => {
  const number = await job();
  const { page, context } = await device(browser, shop, PHONE);
  await page.goto(`/jobs/${number}/checks/${TEE}`);
  await context.setOffline(true);
  await figure(page).fill("twelve");
  await noteIt(page).click();
  await waits(page, "twelve");
  await context.setOffline(false);
  await waits(page, "Not taken:");
  await picture(page, "network-5-not-taken");
  await page.goto(`/jobs/${number}/checks/${TEE}`);
  assert.equal(await figure(page).inputValue(), "twelve");
  await page.getByRole("button", { name: "Discard" }).click();
  await nothingWaits(page);
  await context.close();
});

test("back and forward lead to the pages one has seen", async () => {
  const number = await job();
  const { page, context } = await device(browser, shop);
  await page.goto("/");
  await page.goto(`/jobs/${number}/checks/${TEE}`);
  await figure(page).fill("9");
  await page.getByLabel("Unit").selectOption("inHg");
  await noteIt(page).click();
  await page.waitForURL(`**/jobs/${number}`);
  await page.goBack();
  await page.locator("section.card > p > code", { hasText: TEE }).waitFor();
  assert.equal(await figure(page).inputValue(), "");
  await page.goForward();
  await page.locator("details.log").waitFor();
  await page.goBack();
  await page.goBack();
  await page.getByRole("link", { name: "Take a vehicle in" }).waitFor();
  await context.close();
});

test("without scripts a vehicle is taken in and a reading noted", async () => {
  const { page, context } = await device(browser, shop, { ...PHONE, javaScriptEnabled: false });
  await page.goto("/");
  await page.getByRole("link", { name: "Take a vehicle in" }).click();
  await page.getByLabel("Circuit").selectOption("vacuum-wastegate");
  await page.getByRole("button", { name: "Take it in" }).click();
  await page.waitForURL(/\/jobs\/\d+$/);
  const check = await page.locator("section.card > p > code").textContent();
  await figure(page).fill("twelve");
  await noteIt(page).click();
  await page.locator("form.reading .problem").waitFor();
  assert.equal(await figure(page).inputValue(), "twelve");
  await figure(page).fill("12,5");
  await noteIt(page).click();
  await inTheLog(page, check);
  await context.close();
});
