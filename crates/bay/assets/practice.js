// The needle of the last reading swings to where it stands, and shivers a little as a needle does.

const needle = document.querySelector(".last .needle");
const still = matchMedia("(prefers-reduced-motion: reduce)");
const [SWING_MS, SHIVER_MS] = [1400, 6000];

if (needle && !still.matches) {
  const [from, to] = [Number(needle.dataset.from), Number(needle.dataset.to)];
  const begun = performance.now();
  let shiver = 0;
  const turn = (now) => {
    const passed = now - begun;
    // A damped swing with one overshoot that is seen.
    const swing = Math.exp((-5 * passed) / SWING_MS) * Math.cos((9 * passed) / SWING_MS);
    shiver += 0.2 * (Math.random() - 0.5) - 0.05 * shiver;
    const rest = Math.max(0, 1 - passed / SHIVER_MS);
    const angle = passed > SHIVER_MS || still.matches ? to : to + (from - to) * swing + 3 * shiver * rest;
    needle.setAttribute("transform", `rotate(${angle.toFixed(2)} 100 100)`);
    if (passed <= SHIVER_MS && !still.matches) requestAnimationFrame(turn);
  };
  requestAnimationFrame(turn);
}
document.getElementById("here")?.scrollIntoView({ block: "nearest" });
