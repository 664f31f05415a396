// Practice: a hidden fault is looked for on a vehicle that anybody can have again by its number, to the end and its score.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { onward, tap, type } from "./lib/bench.js";
import { device, LAPTOP, openBrowser, PHONE, picture } from "./lib/browser.js";
import { openShop } from "./lib/shop.js";

const VEHICLE = "9";
const TEE = "tee:valve.source@idle";
const accounts = [];

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

async function begin(page) {
  await page.goto("/");
  await onward(page, page.getByRole("link", { name: "Practice" }), "Practice");
  await page.getByLabel("Circuit").selectOption("vacuum-wastegate");
  await type(page, page.getByLabel("Number of the vehicle"), VEHICLE);
  await tap(page, page.getByRole("button", { name: "Begin" }));
  await page.waitForURL(/\/practice\/[0-9a-f-]{36}/);
}

const done = (page) => page.locator("ol.done > li");
const needle = (page) => page.locator(".dial .needle");

// Leads to a place on the drawing that is seen, and to one of its checks; makes it.
async function check(page, part, name) {
  const before = await done(page).count();
  await tap(page, page.locator(`figure.drawing:visible a[href$="?part=${part}"]`).first());
  await page.waitForURL(/[?]part=/);
  await tap(page, page.locator(`#here a[href$="check=${name}"]`));
  await page.waitForURL(/[?]check=/);
  await tap(page, page.getByRole("button", { name: "Make this check" }));
  await page.locator(`ol.done > li:nth-child(${before + 1})`).waitFor();
}

// Leaves at once: what is hidden in this vehicle, and which part has it.
async function given(page) {
  await begin(page);
  await tap(page, page.getByRole("button", { name: "Leave, and see what was hidden" }));
  await page.getByRole("heading", { name: "Left before the end" }).waitFor();
  const hidden = await page.locator(".card strong").first().textContent();
  const part = /^([\w-]+)\//.exec(hidden)?.[1];
  assert.ok(part, `${hidden} is no part's fault; take a vehicle with another number`);
  return { hidden, part };
}

async function renew(page, part) {
  await tap(page, page.locator(`figure.drawing:visible a[href$="?part=${part}"]`).first());
  await page.waitForURL(/[?]part=/);
  const before = await done(page).count();
  await tap(page, page.getByText("Renew it:"));
  await tap(page, page.getByLabel("Try the new one on the bench first"));
  await tap(page, page.getByRole("button", { name: /and prove it/ }));
  await page.locator(`ol.done > li:nth-child(${before + 1})`).waitFor();
}

for (const [name, size] of [["phone", PHONE], ["laptop", LAPTOP]]) {
  test(`a hidden fault is found, on a ${name}`, async () => {
    const { page, wrong, context } = await device(browser, shop, size);
    page.touch = size.hasTouch;
    const { hidden, part } = await given(page);
    await begin(page);
    assert.ok(!(await page.content()).includes(hidden), "what is hidden is hidden");
    await picture(page, `practice-${name}-1-begun`);
    await check(page, "valve", TEE);
    await picture(page, `practice-${name}-2-read`);
    await renew(page, part === "valve" ? "source-line" : "valve");
    await page.getByText("the complaint is still there").first().waitFor();
    await picture(page, `practice-${name}-3-wrong-part`);
    // A new part may be bad: what is renewed then is renewed again.
    const end = page.getByRole("heading", { name: "The end" });
    do await renew(page, part);
    while (!(await end.isVisible()));
    assert.equal(await page.locator(".card strong").first().textContent(), hidden, "the same vehicle has the same fault");
    await picture(page, `practice-${name}-4-end`);
    const account = await page.locator("table.account tr").evaluateAll((rows) => rows.map((row) => [...row.cells].map((cell) => cell.textContent)));
    assert.deepEqual(account[0], ["", "you", "the plan", "order of habit"]);
    assert.deepEqual(account.find(([what]) => what === "checks").at(1), "1");
    assert.equal(account.find(([what]) => what === "of them without a fault").at(1), "1");
    assert.ok(account.slice(1).flatMap((row) => row.slice(1)).every((figure) => /^\d+$/.test(figure)), JSON.stringify(account));
    accounts.push(account);
    assert.deepEqual(account, accounts[0], "the same steps on the same vehicle are the same account");
    assert.equal(await page.getByRole("button", { name: "Make this check" }).count(), 0, "it is over");
    await tap(page, page.getByRole("link", { name: "Another" }));
    assert.equal(await page.getByLabel("Circuit").inputValue(), "vacuum-wastegate");
    assert.deepEqual(wrong, []);
    await context.close();
  });
}

test("a number that is none, a part that is none, a job that nobody holds: said, and the way back stands there", async () => {
  const { page, context } = await device(browser, shop, PHONE);
  await page.goto("/practice");
  await page.getByLabel("Number of the vehicle").fill("seven");
  await page.getByRole("button", { name: "Begin" }).click();
  await page.locator(".problem", { hasText: "not a whole number" }).waitFor();
  assert.equal(await page.getByLabel("Number of the vehicle").inputValue(), "seven", "what was typed is there");
  await page.goto("/practice/00000000-0000-7000-8000-000000000000");
  await page.locator(".problem", { hasText: "not held any more" }).waitFor();
  await onward(page, page.getByRole("link", { name: "Begin another" }), "Practice");
  await context.close();
});

test("the needle swings and comes to rest where the reading stands", async () => {
  const { page, context } = await device(browser, shop, LAPTOP);
  await begin(page);
  await check(page, "valve", TEE);
  const seen = await needle(page).evaluate(async (needle) => {
    const seen = new Set();
    // Frames, not time: it is looked at as long as it moves.
    for (let still = 0; still < 20; ) {
      const before = needle.getAttribute("transform");
      await new Promise(requestAnimationFrame);
      await new Promise(requestAnimationFrame);
      const now = needle.getAttribute("transform");
      still = now === before ? still + 1 : 0;
      seen.add(now);
    }
    return { places: seen.size, at: needle.getAttribute("transform"), to: needle.dataset.to };
  });
  assert.ok(seen.places > 5, `${seen.places} places`);
  assert.equal(Number.parseFloat(seen.at.split("(")[1]), Number(seen.to));
  await context.close();

  const calm = await device(browser, shop, { ...LAPTOP, reducedMotion: "reduce" });
  await begin(calm.page);
  await check(calm.page, "valve", TEE);
  assert.equal(await needle(calm.page).getAttribute("transform"), seen.at, "whoever wants no motion sees it at rest, and the same vehicle reads the same");
  await calm.context.close();
});
