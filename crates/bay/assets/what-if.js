// A slider is moved: one question at a time to the server, the newest wins; gauges and drawing follow.

const form = document.getElementById("what-if");
const told = document.getElementById("told");
const broad = matchMedia("(min-width: 48rem)");
const [FROM, LENGTH] = [10, 280];

const x = (share) => (FROM + LENGTH * share).toFixed(1);

let asked;
let busy = false;
let bands = "";

// What the healthy bands depend on.
const place = () => `${form.elements.condition.value} ${form.elements.altitude.value}`;
bands = place();

function gauge(item, state) {
  item.toggleAttribute("data-moved", state.moved);
  item.querySelector(".value").textContent = state.shown;
  item.querySelector(".sound").textContent = state.sound;
  for (const [name, share] of [["at", state.at], ["was", state.was]]) {
    const mark = item.querySelector(`svg .${name}`);
    mark.setAttribute("visibility", share === null ? "hidden" : "visible");
    if (share !== null) mark.setAttribute("transform", `translate(${x(share)} 0)`);
  }
  if (!state.band) return;
  const band = item.querySelector("svg .band");
  band.setAttribute("x", x(state.band.from));
  band.setAttribute("width", (LENGTH * Math.max(state.band.to - state.band.from, 0.01)).toFixed(1));
  item.querySelector(".range").textContent = item.parentElement.dataset.healthy.replace("{range}", state.band.words);
}

function show(state, query) {
  const items = new Map([...document.querySelectorAll("#gauges > li")].map((item) => [item.dataset.check, item]));
  for (const one of state.gauges) gauge(items.get(one.check), one);
  const svg = new DOMParser().parseFromString(state.svg, "image/svg+xml").documentElement;
  document.querySelector(query.has("narrow") ? ".drawing.narrow" : ".drawing.broad").replaceChildren(document.importNode(svg, true));
  const severities = [...state.severities];
  for (const [fault, name] of [["fault", "severity"], ["other", "other_severity"]]) {
    const words = form.elements[fault].value ? severities.shift() : "";
    const slide = form.querySelector(`[data-of=${name}]`);
    slide.hidden = !words;
    slide.querySelector("output").textContent = words;
  }
}

async function ask() {
  if (busy) return;
  busy = true;
  while (asked) {
    const begun = performance.now();
    const query = asked;
    asked = undefined;
    try {
      const answer = await fetch(`${form.dataset.solve}?${query}`, { headers: { Accept: "application/json" } });
      const state = await answer.json();
      if (answer.ok) {
        show(state, query);
        told.textContent = told.dataset.took
          .replace("{server}", state.took_ms.toLocaleString(document.documentElement.lang))
          .replace("{here}", Math.round(performance.now() - begun));
      } else {
        told.textContent = [state.detail, state.hint].filter(Boolean).join(": ");
      }
    } catch (error) {
      told.textContent = String(error.message ?? error);
    }
  }
  busy = false;
}

function changed() {
  const query = new URLSearchParams(new FormData(form));
  document.getElementById("altitude-told").textContent = `${form.elements.altitude.value} m`;
  history.replaceState(null, "", `${location.pathname}?${query}`);
  const now = place();
  // Other conditions have other gauges: the page is asked for as a whole.
  if (now.split(" ")[0] !== bands.split(" ")[0]) {
    location.search = query;
    return;
  }
  if (now !== bands) query.set("bands", "true");
  bands = now;
  if (!broad.matches) query.set("narrow", "true");
  asked = query;
  ask();
}

form.addEventListener("input", changed);
broad.addEventListener("change", changed);
form.querySelector("button").hidden = true;
