// The invented job of `halfsplit demo`, from the door to its closing and the vehicle's return, at a phone and at a laptop.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { inTheLog, note, onward, tap, type } from "./lib/bench.js";
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

// What is written beside the readings, in order.
const STEPS = ["taken-in", "code-noted", "cause-proven", "quote-given", "quote-accepted", "note", "new-part-checked", "repaired", "proof", "proof", "proof", "trip", "trip", "closed"];

let browser;
before(async () => (browser = await openBrowser()));
after(() => browser?.close());

const button = (page, name) => page.getByRole("button", { name, exact: true });
const link = (page, name) => page.getByRole("link", { name, exact: true });
const stage = (page, name) => page.locator(".state .stage", { hasText: name }).first().waitFor();

async function takenIn(page) {
  await tap(page, link(page, "Jobs"));
  await onward(page, link(page, "Take a vehicle in"), "Take a vehicle in");
  await type(page, page.getByLabel("Trouble codes"), "p0299");
  await page.getByLabel("Circuit").selectOption("vacuum-variable-geometry");
  await type(page, page.getByLabel("The customer's words"), "no power uphill");
  await type(page, page.getByLabel("Vehicle, in your own words"), "grey estate");
  await tap(page, page.getByText("Distance, altitude, what it may cost"));
  await type(page, page.getByLabel("Altitude, m"), "1600");
  await tap(page, page.getByLabel("An invented example"));
}

async function measured(page) {
  for (const [check, read] of READ) {
    await note(page, check, read);
    await page.waitForURL(/\/jobs\/1$/);
  }
  await tap(page, page.getByText("The cause is proven", { exact: true }));
  await tap(page, button(page, "Call it proven"));
  await stage(page, "proven");
}

// Without a price for an hour there is no offer, and the way there is shown.
async function offered(page, shot) {
  await onward(page, link(page, "Offer"), "Offer, job 1");
  await shot("no-charges");
  await onward(page, link(page, "What the shop charges"), "Shop");
  await type(page, page.getByLabel("Currency"), "EUR");
  await type(page, page.getByLabel("An hour of work"), "95");
  await type(page, page.getByLabel("Tax on work"), "19,5");
  await tap(page, page.locator("form[data-keep=charges] button"));
  await page.waitForFunction(() => document.querySelector("[name=tax]").defaultValue === "19.5");
  await tap(page, link(page, "Jobs"));
  await onward(page, page.locator(".jobs a"), /Job 1/);
  await onward(page, link(page, "Offer"), "Offer, job 1");
  await tap(page, page.getByText("Real prices of parts"));
  await type(page, page.getByLabel("source-hose, equivalent"), "22,50");
  await tap(page, button(page, "Work it out anew"));
  await page.getByText("22.50, real price").waitFor();
  await shot("draft");
  await tap(page, button(page, "Give the offer, the answer comes later"));
  await stage(page, "given, waits for an answer");
  await type(page, page.getByLabel("Words of the customer"), "by telephone");
  await tap(page, button(page, "They agree to 2"));
  await stage(page, "agreed");
}

async function repaired(page, shot) {
  await onward(page, link(page, "Repair"), "Repair, job 1");
  await type(page, page.getByLabel("How it was tried"), "blown through");
  await type(page, page.getByLabel("What was read"), "free");
  await tap(page, button(page, "Good: it may be fitted"));
  await page.getByText("blown through, read free").waitFor();
  assert.equal(await page.getByLabel("Price of the part").inputValue(), "22.50", "the price of the offer is there");
  await type(page, page.getByLabel("Minutes it took"), "20");
  await page.getByLabel("The cause behind the cause").selectOption("found and put right");
  await type(page, page.getByLabel("What it was, or why"), "oil in the hose, seal renewed");
  await shot("repair");
  await tap(page, button(page, "Note the repair"));
  await stage(page, "repaired");
}

async function proven(page, shot) {
  await onward(page, link(page, "Proof"), "Proof of the repair, job 1");
  await shot("proof");
  for (const [check, figure] of [["tee:valve.source@idle", "21.5"], ["travel:actuator.rod@idle", "11"]]) {
    const card = page.locator("section.card", { has: page.locator(`code:text-is("${check}")`) });
    await type(page, card.getByRole("textbox"), figure);
    await tap(page, card.getByRole("button", { name: "Note it" }));
    await card.getByText("done, good").waitFor();
  }
  await type(page, page.getByLabel("What was driven"), "the hill of the complaint");
  await tap(page, button(page, "Good: the complaint is gone"));
  await page.getByText("the hill of the complaint").first().waitFor();
  for (const start of ["18", "21"]) {
    await type(page, page.getByLabel("Coolant at start"), start);
    await type(page, page.getByLabel("Warmest"), "88");
    await tap(page, button(page, "Note the drive"));
    await page.waitForFunction(() => document.querySelector("[name=start]").value === "");
  }
  await page.getByText("2 of 3 counted").waitFor();
  await shot("proven");
}

async function closed(page, shot) {
  await onward(page, link(page, "Close the job"), "Close job 1");
  await shot("close");
  await tap(page, button(page, "Close the job"));
  await stage(page, "closed");
  await shot("closed");
  await onward(page, link(page, "Paper"), "Paper, job 1");
  for (const [sheet, words] of [["Customer's page", "Hose from the reservoir to the solenoid: renewed"], ["Job sheet", "oil in the hose, seal renewed"]]) {
    const card = page.locator("section.card", { has: page.getByRole("heading", { name: sheet }) });
    const pdf = page.waitForEvent("download");
    await tap(page, card.getByRole("link", { name: "PDF" }));
    assert.match((await pdf).suggestedFilename(), /^job-1-\w+\.pdf$/);
    await tap(page, card.getByRole("link", { name: "Read or print" }));
    await page.locator(".sheet", { hasText: words }).waitFor();
    await shot(sheet === "Job sheet" ? "sheet" : "customer");
    await page.goBack();
    await page.getByRole("heading", { level: 1, name: "Paper, job 1" }).waitFor();
  }
}

// The same vehicle again: what was done to it is a tap away, and moves what is suspected.
async function returned(page, shot) {
  await takenIn(page);
  await tap(page, button(page, "Take it in"));
  await page.waitForURL(/\/jobs\/2$/);
  const others = page.locator("section", { has: page.getByRole("heading", { name: "Other jobs with these words" }) });
  await others.waitFor();
  await shot("returned");
  await onward(page, others.getByRole("link"), /Job 1/);
  await inTheLog(page, "repaired source-hose");
}

for (const [name, size] of [["phone", PHONE], ["laptop", LAPTOP]]) {
  test(`from the door to the closing and back, on a ${name}`, async () => {
    const shop = await openShop();
    const { page, wrong } = await device(browser, shop, size);
    page.touch = size.hasTouch;
    let pictures = 0;
    const shot = (what) => picture(page, `story-${name}-${String(++pictures).padStart(2, "0")}-${what}`);
    try {
      await page.goto("/");
      await takenIn(page);
      await shot("intake");
      await tap(page, button(page, "Take it in"));
      await page.waitForURL(/\/jobs\/1$/);
      await shot("job");
      await measured(page);
      await shot("cause");
      await offered(page, shot);
      await shot("agreed");
      await repaired(page, shot);
      await shot("repaired");
      await proven(page, shot);
      await closed(page, shot);
      await returned(page, shot);

      const record = await shop.record();
      const first = record.filter((entry) => entry.job === record[0].job);
      const said = READ.map(([check, { figure, unit }]) => `${check}: ${figure ? `${figure} ${unit}` : "yes"}`);
      assert.deepEqual(readings(first), said, "every reading once, in order");
      const kinds = first.map(({ event }) => event.kind).filter((kind) => kind !== "reading");
      assert.deepEqual(kinds, STEPS, "every step once, in order");
      assert.deepEqual(wrong, [], "nothing went wrong in the page");
    } finally {
      await page.context().close();
      await shop.close();
    }
  });
}
