// A shop with a job at every stage, and every page that the bay has in it, by name.

import { readFile } from "node:fs/promises";
import { join } from "node:path";

export const TEE = "tee:valve.source@idle";
const ROUTES = new URL("../../../crates/bay/src/pages/mod.rs", import.meta.url);

// Addresses that are no pages: what scripts and pages take from there.
const NO_PAGES = ["/jobs/{number}/changes", "/what-if/{circuit}/solve", "/jobs/{number}/what-if/solve", "/assets/{*name}", "/photos/{hash}", "/jobs/{number}/drives/{hash}/window"];

// Does to job `number` what leads to a stage, each on top of the one before.
async function lead(shop, number, stages) {
  const say = (word, ...more) => shop.say(word, String(number), ...more);
  const steps = {
    read: () => say("read", `${TEE} = 2 inHg`),
    proven: () => say("prove-cause", "source-hose/blocked", "--by-hand", "a look into it"),
    offered: () => say("quote"),
    agreed: () => say("quote", "--accept", "1"),
    tried: () => say("new-part", "source-hose", "--check", "blown through", "--read", "free"),
    repaired: () => say("repair", "source-hose", "--minutes", "20", "--behind", "oil in the hose, the seal renewed"),
    proof: () => say("prove", `${TEE} = 21.5 inHg`),
    driven: () => say("trip", "--from", "20 °C", "--to", "88 °C"),
    watched: () => say("prove", "--by-hand", "drove 40 km uphill, pulls"),
    closed: () => say("close"),
  };
  for (const stage of Object.keys(steps)) {
    await steps[stage]();
    if (stage === stages) return;
  }
}

// Fills a shop; the pages to look at: name and address.
export async function furnish(shop) {
  await shop.send("/shop", { form: "charges", currency: "EUR", rate: "95", tax: "19" });
  await shop.send("/shop", { form: "facts", people: "Ann\nBob", altitude: "1600 m", instruments: "vacuum gauge: the old one" });
  const stages = ["read", undefined, "closed", "proven", "offered", "agreed", "repaired", "watched"];
  for (const [index, stage] of stages.entries()) {
    await shop.takeIn("--code", "P0299");
    if (stage) await lead(shop, index + 1, stage);
  }
  const file = join(shop.folder, "hill.csv");
  await shop.run("drive", "make", "vacuum-wastegate", "--fault", "source-line/off", "--seed", "1", "--out", file);
  await shop.say("drive", "1", file);
  const [drive] = (await (await fetch(`${shop.address}/jobs/1/drives`)).text()).match(/\/jobs\/1\/drives\/\w+/);
  const text = await readFile(new URL("../../../circuits/vacuum-wastegate.toml", import.meta.url), "utf8");
  await shop.send("/circuits", { name: "our-wastegate", text, before: "" });
  await shop.send("/circuits", { name: "our-broken", text: text.replace('swept = "130 cm3/rev', 'swept = "130 V'), before: "" });
  const begun = await shop.send("/practice", { circuit: "vacuum-wastegate", seed: "7" });
  const read = await shop.send("/practice", { circuit: "vacuum-wastegate", seed: "8" });
  await shop.send(read, { step: "0", check: TEE });
  const over = await shop.send("/practice", { circuit: "vacuum-wastegate", seed: "9" });
  await shop.send(over, { step: "0", check: TEE });
  await shop.send(over, { step: "1", leave: "true" });
  return {
    jobs: "/",
    "jobs none found": "/?words=nobody",
    intake: "/new",
    "nothing here": "/nothing",
    job: "/jobs/1",
    "job just begun": "/jobs/2",
    "job closed": "/jobs/3",
    "job proven": "/jobs/4",
    "job offered": "/jobs/5",
    "job agreed": "/jobs/6",
    "job repaired": "/jobs/7",
    "job watched": "/jobs/8",
    "all checks": "/jobs/1/checks",
    card: `/jobs/1/checks/${TEE}`,
    "card for ohms": "/jobs/1/checks/ohms:valve@off",
    "card for a look": "/jobs/1/checks/look:source-hose@off",
    "no such check": "/jobs/1/checks/tee:valve.sauce@idle",
    part: "/jobs/1/parts/source-hose",
    joint: "/jobs/1/joints/valve.source",
    plan: "/jobs/1/plan",
    "plan of a job that is closed": "/jobs/3/plan",
    "what if of a job": "/jobs/1/what-if",
    "offer before the cause": "/jobs/1/offer",
    "offer draft": "/jobs/4/offer",
    offer: "/jobs/5/offer",
    "offer agreed": "/jobs/6/offer",
    repair: "/jobs/6/repair",
    "repair of a part": "/jobs/1/repair?part=valve",
    proof: "/jobs/7/proof",
    "proof watched": "/jobs/8/proof",
    close: "/jobs/7/close",
    "close without a repair": "/jobs/1/close",
    reopen: "/jobs/3/close",
    paper: "/jobs/3/paper",
    "paper job": "/jobs/3/paper/job",
    "paper customer": "/jobs/3/paper/customer",
    "paper card": "/jobs/1/paper/card",
    drives: "/jobs/1/drives",
    "drives none given": "/jobs/2/drives",
    "drive columns": `${drive}/columns`,
    drive,
    shop: "/shop",
    devices: "/devices",
    pair: "/pair?code=ABCD-EFGH",
    circuits: "/circuits",
    "circuits none found": "/circuits?words=nobody",
    circuit: "/circuits/vacuum-variable-geometry",
    "circuit own": "/circuits/our-wastegate",
    "circuit edit": "/circuits/our-wastegate/edit",
    "circuit broken": "/circuits/our-broken/edit",
    "circuit copy": "/circuits/vacuum-wastegate/edit",
    "circuit new": "/circuits/new",
    practice: "/practice",
    "practice begun": begun,
    "practice at a part": `${begun}?part=valve`,
    "practice at a check": `${begun}?check=${TEE}`,
    "practice read": read,
    "practice over": over,
    "what if": "/what-if/vacuum-variable-geometry?fault=source-hose/blocked",
    "what if of two": "/what-if/vacuum-wastegate?fault=source-line/leaks&other=actuator/diaphragm+leaks",
  };
}

// Pages that the bay has and nobody named above.
export async function unseen(pages) {
  const routes = (await readFile(ROUTES, "utf8")).matchAll(/\.route\(\s*"([^"]+)",\s*get\(/g);
  const seen = Object.values(pages).map((address) => address.split("?")[0]);
  const like = (route) => new RegExp(`^${route.replaceAll(/\{[^}]+\}/g, "[^/]+")}$`);
  return [...routes].map(([, route]) => route).filter((route) => !NO_PAGES.includes(route) && !seen.some((address) => like(route).test(address)));
}
