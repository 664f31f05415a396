// A shop of its own for a test: `halfsplit serve` at a free port of this machine, with a fresh database.

import { execFile, spawn } from "node:child_process";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { promisify } from "node:util";

const program = process.env.HALFSPLIT ?? new URL("../../../target/debug/halfsplit", import.meta.url).pathname;
const run = promisify(execFile);

// A vehicle that does not exist, on the circuit of the demo, at the demo's height.
const INVENTED = ["--circuit", "vacuum-variable-geometry", "--altitude", "1600 m", "--vehicle", "grey estate", "--complaint", "no power uphill", "--invented"];

// `network`: with a door for the shop's network too, as an address that others reach has one.
export async function openShop({ network = false } = {}) {
  const folder = await mkdtemp(join(tmpdir(), "halfsplit-browser-"));
  const database = join(folder, "shop.sqlite");
  const environment = { ...process.env, HOME: folder, XDG_CONFIG_HOME: folder, XDG_DATA_HOME: folder, XDG_STATE_HOME: folder };
  const say = async (...words) => (await run(program, ["job", ...words, "--database", database], { env: environment })).stdout;
  const serving = await serve(database, environment, network ? "0.0.0.0:0" : "127.0.0.1:0");
  return {
    address: serving.address,
    folder,
    // Sends a form, as a page without scripts does; the address that it leads to.
    send: (path, fields) => send(serving.address + path, fields),
    // Any other command of the program.
    run: async (...words) => (await run(program, words, { env: environment })).stdout,
    // The same shop's command line, as somebody at another machine would use it.
    say,
    takeIn: (...more) => say("new", ...INVENTED, ...more),
    // What is written in the shop, each entry as it is kept.
    record: async () => (await say("export")).split("\n").filter(Boolean).map((line) => JSON.parse(line).entry).filter(Boolean),
    async close() {
      serving.child.kill("SIGTERM");
      await serving.ended;
      await rm(folder, { recursive: true, force: true });
    },
  };
}

async function send(address, fields) {
  const answer = await fetch(address, { method: "POST", body: new URLSearchParams(fields), redirect: "manual" });
  if (answer.status !== 303) throw new Error(`${address}: ${answer.status}: ${await answer.text()}`);
  return answer.headers.get("location");
}

async function serve(database, environment, listen) {
  const child = spawn(program, ["serve", "--listen", listen, "--no-browser", "--database", database], {
    env: environment,
    stdio: ["ignore", "pipe", "inherit"],
  });
  const ended = new Promise((resolve) => child.once("exit", resolve));
  const said = createInterface({ input: child.stdout });
  const address = await new Promise((resolve, reject) => {
    child.once("error", reject);
    child.once("exit", (code) => reject(new Error(`${program} ended with ${code} before the shop was open`)));
    said.on("line", (line) => {
      const found = /http:\/\/\S+/.exec(line);
      if (found) resolve(found[0].replace(/\/$/, ""));
    });
  });
  return { address, child, ended };
}

// What was read, in the record's order, as `check: value`.
export const readings = (record) =>
  record.map(({ event }) => event).filter(({ kind }) => kind === "reading").map(({ check, said }) => `${check}: ${Object.values(said)[0]}`);
