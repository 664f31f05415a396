// Pages in the person's language: what the bay itself says is translated, what lower rooms say is marked as English, and
// figures are typed and shown with the language's decimal mark.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { inTheLog, onThePad } from "./lib/bench.js";
import { device, LAPTOP, openBrowser, PHONE, picture } from "./lib/browser.js";
import { openShop } from "./lib/shop.js";

const TEE = "tee:valve.source@idle";
const PAGES = ["/", "/new", "/nothing", "/jobs/1", "/jobs/1/checks", `/jobs/1/checks/${TEE}`, "/jobs/1/parts/source-hose", "/jobs/1/joints/valve.source", "/jobs/2"];

// Words that are the same in both languages, or that a person or the shop's own records gave.
const SAME = /^(Halfsplit|English|Deutsch|Español|Minus|grey estate|no power uphill|(Ohms|[\w-]+\/[\w-]+|[\w.-]+:[\w.-]+@[\w-]+)|[\w-]*(\.[\w-]+)+|inHg|kPa|mm|min|OL|P[0-9A-F]{4})$/;

let browser;
let shop;
before(async () => {
  browser = await openBrowser();
  shop = await openShop();
  await shop.takeIn();
  await shop.say("read", "1", `${TEE} = 2.5 inHg`);
  await shop.takeIn();
  await shop.say("close", "2", "--nothing-wrong");
});
after(async () => {
  await browser?.close();
  await shop?.close();
});

// Runs in the page: what is said outside of marked English, each run of text and each name.
function said() {
  const runs = [];
  const ours = (element) => element.closest("[lang]").lang === document.documentElement.lang && !element.closest("script, svg, code, q, datalist");
  const walk = document.createTreeWalker(document.documentElement, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) if (ours(walk.currentNode.parentElement)) runs.push(walk.currentNode.textContent);
  for (const element of document.querySelectorAll("[aria-label], [placeholder]")) {
    if (ours(element)) runs.push(element.getAttribute("aria-label") ?? "", element.getAttribute("placeholder") ?? "");
  }
  runs.push(...Object.values(document.body.dataset).filter((words) => /\s/.test(words)));
  return runs.map((run) => run.replace(/\s+/g, " ").trim()).filter(Boolean);
}

for (const [tag, locale] of [["de", "de-DE"], ["es", "es-ES"]]) {
  test(`no English stands unmarked on a page in ${tag}`, async () => {
    const [english, other] = [await device(browser, shop, LAPTOP), await device(browser, shop, { ...LAPTOP, locale })];
    const left = [];
    for (const address of PAGES) {
      await english.page.goto(address);
      await other.page.goto(address);
      assert.equal(await other.page.evaluate(() => document.documentElement.lang), tag);
      const theirs = new Set(await english.page.evaluate(said));
      for (const run of await other.page.evaluate(said)) {
        const words = run.split(/[\s,;:()–]+/).filter((word) => /\p{L}{3}/u.test(word));
        if (theirs.has(run) && words.length > 0 && !SAME.test(run) && !words.every((word) => SAME.test(word))) left.push(`${address}: ${run}`);
      }
    }
    await picture(other.page, `languages-${tag}`);
    assert.deepEqual(left, []);
    await english.context.close();
    await other.context.close();
  });
}

test("a reading in German: a comma on the pad, a comma in the record shown", async () => {
  const { page, context, wrong } = await device(browser, shop, { ...PHONE, locale: "de-DE" });
  page.touch = true;
  await page.goto(`/jobs/1/checks/deadhead:valve.source@idle`);
  await onThePad(page, "23,5", "Ziffernblock");
  await page.getByRole("button", { name: "Notieren" }).tap();
  await inTheLog(page, "deadhead:valve.source@idle: 23.5 ");
  await page.locator("li", { hasText: "23,5" }).first().waitFor({ state: "attached" });
  await picture(page, "languages-de-read");
  assert.deepEqual(wrong, []);
  await context.close();
});

test("the language is chosen at the foot of a page and stays with the person", async () => {
  const { page, context } = await device(browser, shop, LAPTOP);
  await page.goto(`/jobs/1/checks/${TEE}`);
  await page.getByRole("button", { name: "Deutsch" }).click();
  await page.getByRole("button", { name: "Notieren" }).waitFor();
  assert.equal(new URL(page.url()).pathname, `/jobs/1/checks/${TEE}`, "one is where one was");
  await page.goto("/");
  await page.getByRole("link", { name: "Fahrzeug annehmen" }).waitFor();
  await context.close();
});
