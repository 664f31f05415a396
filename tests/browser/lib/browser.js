// One Chromium for a file of tests, and pages in it as a phone or a laptop shows them.

import { mkdir } from "node:fs/promises";
import { join } from "node:path";
import { chromium } from "playwright-core";

// Nothing here depends on time; this long something is waited for before the test gives up.
export const PATIENCE_MS = Number(process.env.PATIENCE_MS ?? 60000);

export const PHONE = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true, deviceScaleFactor: 2 };
export const LAPTOP = { viewport: { width: 1280, height: 800 } };

const pictures = process.env.HALFSPLIT_PICTURES ?? new URL("../../../target/browser/", import.meta.url).pathname;

// `bars`: with bars to scroll that take room, as many desktops have them.
export async function openBrowser({ bars = false } = {}) {
  return chromium.launch({
    ignoreDefaultArgs: bars ? ["--hide-scrollbars"] : [],
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"],
  });
}

// A device: a browser with nothing kept in it yet. What goes wrong in its pages ends up in `wrong`.
export async function device(browser, shop, how = LAPTOP) {
  const context = await browser.newContext({ baseURL: shop.address, locale: "en-GB", ...how });
  context.setDefaultTimeout(PATIENCE_MS);
  const wrong = [];
  context.on("page", (page) => {
    page.on("pageerror", (error) => wrong.push(String(error)));
    page.on("console", (message) => {
      // The browser itself reports every answer of 400 and more, and what a cut network stops.
      if (message.type() === "error" && !/Failed to load resource/.test(message.text())) wrong.push(message.text());
    });
  });
  return { context, wrong, page: await context.newPage() };
}

// Kept beside the build, to look at.
export async function picture(page, name) {
  await mkdir(pictures, { recursive: true });
  await page.screenshot({ path: join(pictures, `${name}.png`), fullPage: true });
}
