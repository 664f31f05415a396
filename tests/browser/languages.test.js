// Pages in the person's language: what the bay itself says is translated, what lower rooms say is marked as English, and
// figures are typed and shown with the language's decimal mark.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { inTheLog, onThePad } from "./lib/bench.js";
import { device, LAPTOP, openBrowser, PHONE, picture } from "./lib/browser.js";
import { furnish, TEE, unseen } from "./lib/pages.js";
import { openShop } from "./lib/shop.js";
import { tooSmall, unfold } from "./lib/touch.js";

// What persons and the shop's own records say in `furnish`, and what standards are called: the same in every language.
const GIVEN = /the old one|our (broken|wastegate)|drove 40 km uphill, pulls|[\w.-]+:[\w.-]+@[\w-]+|ASME B40\.100|[A-Z0-9]{4}-[A-Z0-9]{4}/g;
// Words that are the same in both languages, units, faults and ports by their names.
const SAME =
  /^(Halfsplit|English|Deutsch|Español|PDF|Minus|Total|Titel|original|motor|Ann|Bob|EUR|our-[\w-]+|grey|estate|no|power|uphill|[\w-]+\/[\w-]+|[\w-]*(\.[\w-]+)+|inHg|hPa|kPa|MPa|bar|mbar|mmHg|cmHg|inH2O|mmH2O|psi|atm|[mkM]?ohm|rpm|min|OL|[PU][0-9A-F]{4})$/;

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

// Runs in the page: what is said outside of marked English, each run of text and each name.
function said() {
  const runs = [];
  const ours = (element) => element.closest("[lang]").lang === document.documentElement.lang && !element.closest("script, svg, code, q, pre, textarea");
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
    assert.deepEqual(await unseen(pages), []);
    // Parts are called as the circuit calls them.
    const { parts } = await (await fetch(`${shop.address}/api/circuits/vacuum-variable-geometry`)).json();
    const others = await (await fetch(`${shop.address}/api/circuits/vacuum-wastegate`)).json();
    const names = new Set([...parts, ...others.parts].map((part) => part.id));
    const same = (word) => SAME.test(word) || names.has(word);
    for (const [name, address] of Object.entries(pages)) {
      await english.page.goto(address);
      await other.page.goto(address);
      assert.equal(await other.page.evaluate(() => document.documentElement.lang), tag);
      const theirs = new Set(await english.page.evaluate(said));
      for (const run of await other.page.evaluate(said)) {
        const words = run.replaceAll(GIVEN, "").split(/[\s,;:()–]+/).filter((word) => /\p{L}{3}/u.test(word));
        if (theirs.has(run) && !same(run) && !words.every(same)) left.push(`${name}: ${run}`);
      }
    }
    assert.deepEqual(left, []);
    await english.context.close();
    await other.context.close();
  });

  test(`longer words break nothing on a phone in ${tag}: targets for a glove, nothing sticks out`, async () => {
    const { page, context } = await device(browser, shop, { ...PHONE, locale, colorScheme: "dark" });
    const wrong = [];
    for (const [name, address] of Object.entries(pages)) {
      await page.goto(address);
      await page.evaluate(unfold);
      wrong.push(...(await page.evaluate(tooSmall)).map((target) => `${name}: ${target}`));
      // A phone shows a page that is too wide smaller, and calls that its width.
      const wide = await page.evaluate((width) => document.documentElement.scrollWidth - width, PHONE.viewport.width);
      if (wide > 0) wrong.push(`${name}: ${wide} px wider than the phone`);
      await picture(page, `languages-phone-${tag}-${name.replaceAll(" ", "-")}`);
    }
    assert.deepEqual(wrong, []);
    await context.close();
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
