// The first page that a phone asks for is small, and asks for nothing outside the shop. How fast it is drawn: bench/speed.js.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { device, openBrowser, PHONE } from "./lib/browser.js";
import { openShop } from "./lib/shop.js";
import { weighed } from "./lib/wire.js";

const MOST_BYTES = 100_000;

let browser;
let shop;
before(async () => {
  browser = await openBrowser();
  shop = await openShop();
  for (let job = 0; job < 3; job += 1) await shop.takeIn();
});
after(async () => {
  await browser?.close();
  await shop?.close();
});

test("everything of the first page is under 100 kB, and comes from the shop", async () => {
  const { page, context } = await device(browser, shop, PHONE);
  const { weights, sum } = await weighed(page);
  const elsewhere = [];
  page.on("request", (request) => {
    if (!request.url().startsWith(shop.address)) elsewhere.push(request.url());
  });
  await page.goto("/", { waitUntil: "networkidle" });
  assert.ok(weights["/"] > 0 && weights["/assets/bay.css"] > 0, JSON.stringify(weights));
  assert.ok(sum() < MOST_BYTES, `${sum()} bytes: ${JSON.stringify(weights)}`);
  assert.deepEqual(elsewhere, []);
  await context.close();
});
