import { device, openBrowser, PHONE } from "./lib/browser.js";
import { openShop } from "./lib/shop.js";
import { writeFile } from "node:fs/promises";
const browser = await openBrowser();
const shop = await openShop();
await shop.run("job","charges","--currency","EUR","--rate","95","--tax","19").catch(e=>console.log(String(e)));
await shop.takeIn("--code","P0299").catch(e=>console.log(String(e)));
await shop.say("read","1","tee:valve.source@idle = 9 inHg").catch(e=>console.log(String(e)));
const PHONE_DE = { ...PHONE, locale: "de-DE" };
for (const [name, path, lang] of [["customer","/jobs/1/paper/customer","de-DE"],["job","/jobs/1/paper/job","es-ES"],["drives","/jobs/1/drives","de-DE"],["offer","/jobs/1/offer","de-DE"],["home","/","es-ES"],["joint","/jobs/1/joints/valve.source","de-DE"]]) {
  const { page, context } = await device(browser, shop, { ...PHONE, locale: lang });
  await page.goto(path, { waitUntil: "load" });
  await page.screenshot({ path: `/tmp/pic/${name}.png`, fullPage: true });
  await context.close();
}
const pdf = await fetch(shop.address + "/jobs/1/paper/customer.pdf", { headers: { "Accept-Language": "de" } });
await writeFile("/tmp/pic/customer.pdf", Buffer.from(await pdf.arrayBuffer()));
const pdf2 = await fetch(shop.address + "/jobs/1/paper/job.pdf", { headers: { "Accept-Language": "es" } });
await writeFile("/tmp/pic/job.pdf", Buffer.from(await pdf2.arrayBuffer()));
await browser.close(); await shop.close();
