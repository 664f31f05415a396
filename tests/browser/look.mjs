import { device, openBrowser, PHONE, LAPTOP } from "./lib/browser.js";
import { openShop } from "./lib/shop.js";
const browser = await openBrowser();
const shop = await openShop();
await shop.takeIn("--code","P0299");
const made = await shop.run("drive","make","vacuum-variable-geometry","--out",shop.folder+"/d.csv").catch(async e=>{console.log(String(e).slice(0,600)); console.log(await shop.run("drive","--help"));});
const { page, context } = await device(browser, shop, { ...PHONE, locale: "de-DE" });
await page.goto("/jobs/1/drives");
await page.setInputFiles("#recording", shop.folder+"/d.csv");
await page.fill("#words","bergauf");
await page.getByRole("button",{name:"Aufnehmen"}).click();
await page.waitForLoadState("load");
await page.screenshot({ path: "/tmp/pic/drives.png", fullPage: true });
const href = await page.locator("ul.plain a.wide").first().getAttribute("href").catch(()=>page.url());
for (const [name, path] of [["drive", href],["columns", href+"/columns"]]) {
  await page.goto(path); await page.screenshot({ path: `/tmp/pic/${name}.png`, fullPage: true });
}
await context.close();
const lap = await device(browser, shop, { ...LAPTOP, locale: "es-ES" });
await lap.page.goto(href+"/columns"); await lap.page.screenshot({ path: "/tmp/pic/columns_l.png", fullPage: true });
await browser.close(); await shop.close();
