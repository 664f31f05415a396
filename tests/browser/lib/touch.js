// What a finger in a glove finds on a page: functions that run in it.

// Shows everything that is folded away.
export function unfold() {
  for (const details of document.querySelectorAll("details:not([open])")) {
    details.open = true;
    details.dataset.unfolded = "yes";
  }
}

// Runs in the page. Left out, with reasons: links within a sentence (their height is the line's, WCAG 2.5.8 "inline"); the way
// past the menu, which only a keyboard reaches; places in the drawing, whose pages have links of full size below ("About …").
export function tooSmall() {
  // Height and width of a target, CSS pixels; WCAG 2.2 asks for 24 (2.5.8), a glove for more.
  const least = 48;
  const visible = (element) => element.checkVisibility() && element.getClientRects().length > 0;
  const alone = (link) => [...link.parentElement.childNodes].every((other) => other === link || other.nodeType !== Node.TEXT_NODE || other.textContent.trim() === "");
  const targets = [...document.querySelectorAll("a, button, input:not([type=hidden]), select, textarea, summary")]
    .filter((target) => visible(target) && !target.closest("svg") && !target.matches(".skip"))
    .filter((target) => target.tagName !== "A" || alone(target))
    // A box to tick is as large as its words.
    .map((target) => (["checkbox", "radio"].includes(target.type) ? target.closest("label") : target));
  return targets
    .map((target) => [target, target.getBoundingClientRect()])
    .filter(([, { width, height }]) => width < least - 0.5 || height < least - 0.5)
    .map(([target, { width, height }]) => `${Math.round(width)} × ${Math.round(height)}: ${target.outerHTML.slice(0, 120)}`);
}
