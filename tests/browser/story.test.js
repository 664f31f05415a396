// The invented job of `halfsplit demo`, from the door to the proven cause, at a phone and at a laptop.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { note, tap } from "./lib/bench.js";
import { device, LAPTOP, openBrowser, PHONE, picture } from "./lib/browser.js";
import { openShop, readings } from "./lib/shop.js";

// As `halfsplit demo` reads them on its invented vehicle, whose source hose is blocked.
const READ = [
  ["deadhead:valve.source@idle", { figure: "23.5", unit: "inHg" }],
  ["jumper:actuator@off", { figure: "10.5", unit: "mm" }],
  ["tee:valve.source@idle", { figure: "2", unit: "inHg" }],
  ["deadhead:reservoir.port@idle", { figure: "22.5", unit: "inHg" }],
  ["look:source-hose@off", { answer: "Yes" }],
];

let browser;
before(async () => (browser = await openBrowser()));
after(() => browser?.close());

for (const [name, size] of [["phone", PHONE], ["laptop", LAPTOP]]) {
  test(`from the door to the proven cause, on a ${name}`, async () => {
    const shop = await openShop();
    const { page, wrong } = await device(browser, shop, size);
    page.touch = size.hasTouch;
    try {
      await page.goto("/");
      await tap(page, page.getByRole("link", { name: "Take a vehicle in" }));
      await page.getByLabel("Circuit").selectOption("vacuum-variable-geometry");
      await page.getByLabel("The customer's words").fill("no power uphill");
      await page.getByLabel("Vehicle, in your own words").fill("grey estate");
      await tap(page, page.getByText("Distance, altitude, what it may cost"));
      await page.getByLabel("Altitude, m").fill("1600");
      await tap(page, page.getByLabel("An invented example"));
      await picture(page, `${name}-1-intake`);
      await tap(page, page.getByRole("button", { name: "Take it in" }));
      await page.waitForURL(/\/jobs\/1$/);
      await picture(page, `${name}-2-job`);
      for (const [check, read] of READ) {
        await note(page, check, read);
        await page.waitForURL(/\/jobs\/1$/);
      }
      await picture(page, `${name}-3-read`);
      await tap(page, page.getByText("The cause is proven", { exact: true }));
      await tap(page, page.getByRole("button", { name: "Call it proven" }));
      await page.locator(".stage", { hasText: "proven" }).first().waitFor();
      await picture(page, `${name}-4-proven`);

      const record = await shop.record();
      const said = READ.map(([check, { figure, unit }]) => `${check}: ${figure ? `${figure} ${unit}` : "yes"}`);
      assert.deepEqual(readings(record), said, "every reading once, in order");
      const proven = record.map(({ event }) => event).find((event) => event.faults);
      assert.deepEqual(proven?.faults, ["source-hose/blocked"]);
      assert.deepEqual(wrong, [], "nothing went wrong in the page");
    } finally {
      await page.context().close();
      await shop.close();
    }
  });
}
