// Everybody can use every page: WCAG 2.2 A and AA as far as axe-core sees them, in light and dark, on a phone and a laptop;
// targets for a finger in a glove; a whole reading by keyboard; names for whoever listens instead of looking.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import axe from "axe-core";
import { inTheLog } from "./lib/bench.js";
import { device, LAPTOP, openBrowser, PHONE, picture } from "./lib/browser.js";
import { furnish, TEE, unseen } from "./lib/pages.js";
import { openShop } from "./lib/shop.js";
import { tooSmall, unfold } from "./lib/touch.js";

const WCAG = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"];
// An experimental rule of axe-core: the link of a part in the drawing holds the lettering of its ports, which its name leaves
// out; whoever speaks to the page says the link "About ..." below.
const LEFT_OUT = { "label-content-name-mismatch": { enabled: false } };
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

// Runs in the page, after `unfold`.
function fold() {
  for (const details of document.querySelectorAll("details[data-unfolded]")) details.open = false;
}

test("every page that the bay has is looked at here", async () => {
  assert.deepEqual(await unseen(pages), []);
});

// Every page in both colours and both sizes; the other two pairs hold nothing that these do not.
for (const [size, how, colorScheme] of [["phone", PHONE, "dark"], ["laptop", LAPTOP, "light"]]) {
  test(`axe-core finds nothing, on a ${size} in the ${colorScheme}`, async () => {
    const { page, context } = await device(browser, shop, { ...how, colorScheme });
    const found = [];
    for (const [name, address] of Object.entries(pages)) {
      await page.goto(address);
      await page.evaluate(unfold);
      await page.evaluate(axe.source);
      const { violations } = await page.evaluate((how) => globalThis.axe.run(document, how), { runOnly: WCAG, rules: LEFT_OUT });
      for (const { id, help, nodes } of violations) {
        found.push(`${name}: ${id}: ${help}: ${nodes.map((node) => node.html).slice(0, 3).join(" | ")}`);
      }
      await page.evaluate(fold);
      await picture(page, `access-${size}-${colorScheme}-${name.replaceAll(" ", "-")}`);
    }
    assert.deepEqual(found, []);
    await context.close();
  });
}

test("every target is large enough for a finger in a glove, and nothing sticks out of a phone", async () => {
  const { page, context } = await device(browser, shop, PHONE);
  const small = [];
  for (const [name, address] of Object.entries(pages)) {
    await page.goto(address);
    await page.evaluate(unfold);
    small.push(...(await page.evaluate(tooSmall)).map((target) => `${name}: ${target}`));
    // A phone shows a page that is too wide smaller, and calls that its width.
    const wide = await page.evaluate((width) => document.documentElement.scrollWidth - width, PHONE.viewport.width);
    if (wide > 0) small.push(`${name}: ${wide} px wider than the phone`);
  }
  assert.deepEqual(small, []);
  await context.close();
});

test("a whole reading by keyboard alone, and one always sees where one is", async () => {
  const { page, context } = await device(browser, shop, LAPTOP);
  await page.goto("/");
  const to = async (found) => {
    for (let tabs = 0; tabs < 80; tabs += 1) {
      await page.keyboard.press("Tab");
      const seen = await page.evaluate(() => {
        const { outlineStyle, outlineWidth } = getComputedStyle(document.activeElement);
        return { there: document.activeElement !== document.body, outline: outlineStyle !== "none" && Number.parseFloat(outlineWidth) >= 2, html: document.activeElement.outerHTML.slice(0, 100) };
      });
      if (seen.there) assert.ok(seen.outline, `not seen where one is: ${seen.html}`);
      if (await page.evaluate(found)) return tabs + 1;
    }
    assert.fail(`not reached by Tab: ${found}`);
  };
  assert.equal(await to(() => document.activeElement.matches(".skip")), 1, "the way past the menu comes first");
  await to(() => document.activeElement.getAttribute("href") === "/jobs/2");
  await page.keyboard.press("Enter");
  await page.waitForURL(/\/jobs\/2$/);
  const check = await page.locator("section.card > p > code").textContent();
  await to(() => document.activeElement.id === "figure");
  await page.keyboard.type("18,5");
  assert.ok((await to(() => document.activeElement.value === "is")) <= 2, "the number pad is not in the way");
  await page.keyboard.press("Enter");
  await inTheLog(page, `${check}: 18.5`);
  await page.waitForFunction(() => document.activeElement !== document.body);
  assert.ok(await page.evaluate(() => document.querySelector("main").contains(document.activeElement)), "and goes on from there");
  await context.close();
});

test("whoever listens hears what the drawings and the number pad are", async () => {
  const { page, context } = await device(browser, shop, LAPTOP);
  await page.goto(`/jobs/1/checks/${TEE}`);
  await page.getByRole("group", { name: "Number pad" }).waitFor();
  await page.getByRole("button", { name: "Take the last digit back" }).waitFor();
  await page.getByRole("img", { name: /The hose stays joined/ }).waitFor();
  assert.match(await page.locator(".strip li").first().textContent(), /inHg|kPa/, "what to expect is said in words and figures");
  await page.getByLabel(/What does the .* show\?/).waitFor();
  await page.goto("/jobs/1");
  const drawing = page.getByRole("group", { name: "Vacuum variable-geometry turbocharger with boost sensor" });
  await drawing.waitFor();
  await drawing.getByRole("link", { name: /^source-hose: .*%$/ }).waitFor();
  await context.close();
});
