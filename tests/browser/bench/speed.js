// How soon a phone sees a page, and how long a step of a slider takes; figures, no test.
//
//   HALFSPLIT=../../target/release/halfsplit node bench/speed.js
//
// The phone: 1.6 Mbit/s down, 0.75 Mbit/s up, 150 ms there and back, a processor at a quarter of this one's speed (a slow
// mobile network and a middling phone; common practice, no source). Nothing is in its cache.

import { device, openBrowser, PHONE } from "../lib/browser.js";
import { openShop } from "../lib/shop.js";
import { weighed } from "../lib/wire.js";

const NETWORK = { offline: false, latency: 150, downloadThroughput: 1.6e6 / 8, uploadThroughput: 0.75e6 / 8 };
const SLOWER = 4;
const TIMES = 9;
const STEPS = 60;

const shares = (figures) => {
  const sorted = [...figures].sort((a, b) => a - b);
  const at = (share) => sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))];
  return `median ${at(0.5).toFixed(0)}, 95 of 100 below ${at(0.95).toFixed(0)}, most ${at(1).toFixed(0)}`;
};

const browser = await openBrowser();
const shop = await openShop();
for (let job = 0; job < 20; job += 1) await shop.takeIn();
await shop.say("read", "1", "tee:valve.source@idle = 2 inHg");

for (const [name, address] of [["the jobs, first page", "/"], ["a job", "/jobs/1"], ["a check", "/jobs/1/checks/tee:valve.source@idle"]]) {
  const [drawn, bytes] = [[], []];
  for (let time = 0; time < TIMES; time += 1) {
    const { page, context } = await device(browser, shop, PHONE);
    const { wire, sum } = await weighed(page);
    await wire.send("Network.emulateNetworkConditions", NETWORK);
    await wire.send("Emulation.setCPUThrottlingRate", { rate: SLOWER });
    // A job's page goes on listening, so its network is never idle.
    await page.goto(address, { waitUntil: "load" });
    drawn.push(await page.evaluate(async () => {
      const paint = () => performance.getEntriesByName("first-contentful-paint")[0];
      while (!paint()) await new Promise(requestAnimationFrame);
      return paint().startTime;
    }));
    await page.waitForTimeout(500);
    bytes.push(sum());
    await context.close();
  }
  console.log(`${name}: drawn after ms: ${shares(drawn)}; ${Math.max(...bytes)} bytes`);
}

for (const circuit of ["vacuum-variable-geometry", "starter-circuit"]) {
  const { page, context } = await device(browser, shop);
  await page.goto(`/what-if/${circuit}`);
  const fault = await page.locator("#fault option[data-graded]").first().getAttribute("value");
  await page.goto(`/what-if/${circuit}?fault=${encodeURIComponent(fault)}`);
  const [server, seen] = [[], []];
  for (let step = 0; step < STEPS; step += 1) {
    const told = await page.evaluate(async (place) => {
      const [slider, told] = [document.getElementById("severity"), document.getElementById("told")];
      told.textContent = "";
      slider.value = place;
      slider.dispatchEvent(new Event("input", { bubbles: true }));
      while (!told.textContent) await new Promise(requestAnimationFrame);
      return told.textContent;
    }, (100 * (step + 1)) / STEPS);
    const [solved, shown] = told.match(/[\d.]+/g).map(Number);
    // Bands of healthy vehicles come with the first step alone.
    if (step === 0) continue;
    server.push(solved);
    seen.push(shown);
  }
  console.log(`what if, ${circuit}, ${fault}: solved in ms: ${shares(server)}; shown after ms: ${shares(seen)}`);
  await context.close();
}
await browser.close();
await shop.close();
