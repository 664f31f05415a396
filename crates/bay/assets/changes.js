// What others write is shown at once: the shop says when something happened to the job on this page.

import { look } from "./page.js";

const AGAIN_MS = 4000;
let source;

function stop() {
  source?.close();
  source = undefined;
}

export function listen() {
  const address = document.querySelector("[data-events]")?.dataset.events;
  // A browser has few connections to one shop: a page that nobody sees gives its own back.
  if (!address || document.hidden) return stop();
  if (source && source.readyState !== EventSource.CLOSED && new URL(source.url).pathname === address) return;
  stop();
  const mine = (source = new EventSource(address));
  mine.addEventListener("changed", () => look());
  // Between the page and this moment, or in a gap of the network, something may have happened.
  mine.addEventListener("stands", (event) => {
    if (document.querySelector("[data-events]")?.dataset.entries !== event.data) look();
    dispatchEvent(new Event("reachable"));
  });
  // A browser gives up on an answer that is not a stream.
  mine.addEventListener("error", () => {
    if (mine.readyState === EventSource.CLOSED && source === mine) setTimeout(listen, AGAIN_MS);
  });
}

document.addEventListener("visibilitychange", listen);
