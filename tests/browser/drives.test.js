// A recorded drive in the bay: given as a file, looked at nearer, read with the cursor.

import assert from "node:assert/strict";
import { execFile } from "node:child_process";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { promisify } from "node:util";
import { tap } from "./lib/bench.js";
import { device, LAPTOP, openBrowser, PHONE, picture } from "./lib/browser.js";
import { openShop } from "./lib/shop.js";

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

const halfsplit = (...words) => promisify(execFile)(process.env.HALFSPLIT, words);
const ticks = (page) => page.locator("#drive svg text[text-anchor=middle]").allTextContents();

for (const [name, size] of [["phone", PHONE], ["laptop", LAPTOP]]) {
  test(`a drive is given and looked at on a ${name}`, async () => {
    const file = join(shop.folder, `${name}.csv`);
    await halfsplit("drive", "make", "vacuum-wastegate", "--fault", "source-line/off", "--seed", name === "phone" ? "1" : "2", "--out", file);
    const { page, wrong, context } = await device(browser, shop, size);
    page.touch = size.hasTouch;
    await shop.takeIn();
    const number = name === "phone" ? 1 : 2;
    await page.goto(`${shop.address}/jobs/${number}/drives`);
    await page.getByLabel("A table of figures").setInputFiles(file);
    await tap(page, page.getByRole("button", { name: "Take it in" }));
    await tap(page, page.getByRole("link", { name: `${name}.csv` }));
    await page.locator("#drive svg", { hasText: "Simulated" }).waitFor();
    const wide = await ticks(page);

    await tap(page, page.getByRole("link", { name: "Nearer" }));
    await page.waitForFunction((first) => document.querySelector("#drive svg text[text-anchor=middle]").textContent !== first, wide[0]);
    const near = await ticks(page);
    assert.notDeepEqual(near, wide);

    const box = await page.locator("#drive svg").boundingBox();
    if (size.hasTouch) await page.touchscreen.tap(box.x + 150, box.y + 100);
    else await page.mouse.move(box.x + box.width / 2, box.y + 100);
    await page.locator("#values", { hasText: "engine speed" }).waitFor();
    assert.match(await page.locator("#values").textContent(), /^\d+:\d\d\.\d · engine speed .*rpm.*module voltage .* V/);
    await picture(page, `drives-${name}`);
    assert.deepEqual(wrong, []);
    await context.close();
  });
}
