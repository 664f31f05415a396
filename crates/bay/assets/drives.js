// A drive is looked at nearer and at other times: the server draws the window, the newest question wins; a cursor reads figures.

const figure = document.getElementById("drive");
const values = document.getElementById("values");
// The field of figures in the picture, in its own units: left edge and width, as the server draws it.
const [LEFT, WIDTH] = [62, 720];
const LEAST = 2;

const whole = { from: 0, to: Infinity };
let shown = { from: Number(figure.dataset.from), to: Number(figure.dataset.to) };
let figures = [];
let asked;
let busy = false;
let cursor;

function query(window) {
  const asked = new URLSearchParams({ from: window.from.toFixed(2), to: Math.min(window.to, 1e9).toFixed(2) });
  asked.set("steps", Math.round(Math.min(1600, Math.max(200, figure.clientWidth * 0.9))));
  if (figure.dataset.beside) asked.set("beside", figure.dataset.beside);
  return asked;
}

async function ask(window) {
  asked = window;
  if (busy) return;
  busy = true;
  while (asked) {
    const now = asked;
    asked = undefined;
    try {
      const answer = await fetch(`${figure.dataset.window}?${query(now)}`, { headers: { Accept: "application/json" } });
      if (!answer.ok) break;
      const opened = await answer.json();
      const svg = new DOMParser().parseFromString(opened.svg, "image/svg+xml").documentElement;
      figure.replaceChildren(document.importNode(svg, true));
      shown = { from: opened.from, to: opened.to };
      figures = opened.panes;
      cursor = undefined;
    } catch {
      // Without the network the picture stays as it is.
      break;
    }
  }
  busy = false;
}

// The newest window that was asked for, so that quick turns of the wheel add up.
const current = () => asked ?? shown;

function zoomed(by, about) {
  const { from, to } = current();
  const length = Math.max(LEAST, (to - from) * by);
  const share = (about - from) / (to - from || 1);
  const start = Math.max(0, about - share * length);
  return { from: start, to: start + length };
}

function moved(by) {
  const { from, to } = current();
  const start = Math.max(0, from + by * (to - from));
  return { from: start, to: start + (to - from) };
}

const WAYS = {
  Nearer: () => zoomed(0.5, (current().from + current().to) / 2),
  Wider: () => zoomed(2, (current().from + current().to) / 2),
  Earlier: () => moved(-0.5),
  Later: () => moved(0.5),
  All: () => whole,
};

document.getElementById("ways").addEventListener("click", (event) => {
  const way = WAYS[event.target.dataset?.way];
  if (!way) return;
  event.preventDefault();
  ask(way());
});

// The moment under a pointer; of two pictures only the first is read.
function moment(event) {
  const svg = figure.querySelector("svg");
  const box = svg.getBoundingClientRect();
  const at = ((event.clientX - box.left) / box.width) * svg.viewBox.baseVal.width;
  const share = (at - LEFT) / WIDTH;
  if (share < 0 || share > 1) return undefined;
  return { at, time: shown.from + share * (shown.to - shown.from) };
}

figure.addEventListener("wheel", (event) => {
  const here = moment(event);
  if (!here || event.deltaY === 0) return;
  event.preventDefault();
  ask(zoomed(event.deltaY > 0 ? 1.25 : 0.8, here.time));
}, { passive: false });

function nearest(steps, time) {
  let [low, high] = [0, steps.length - 1];
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (steps[middle][0] <= time) low = middle;
    else high = middle - 1;
  }
  return steps[low];
}

function read(here) {
  const svg = figure.querySelector("svg");
  if (!cursor || !cursor.isConnected) {
    cursor = document.createElementNS("http://www.w3.org/2000/svg", "line");
    cursor.setAttribute("class", "frame");
    cursor.setAttribute("y1", "30");
    cursor.setAttribute("y2", svg.viewBox.baseVal.height);
    svg.append(cursor);
  }
  cursor.setAttribute("x1", here.at);
  cursor.setAttribute("x2", here.at);
  const minutes = Math.floor(here.time / 60);
  const told = [`${minutes}:${(here.time % 60).toFixed(1).padStart(4, "0")}`];
  for (const { name, unit, steps } of figures) {
    const step = steps.length ? nearest(steps, here.time) : undefined;
    if (step) told.push(`${name} ${step[1] === step[2] ? step[1] : `${step[1]} to ${step[2]}`} ${unit}`);
  }
  values.textContent = told.join(" · ");
}

for (const sort of ["pointermove", "pointerdown"]) {
  figure.addEventListener(sort, (event) => {
    const here = moment(event);
    if (here) read(here);
  });
}

ask(shown);
