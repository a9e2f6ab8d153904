// Tries as tally strokes: four upright and one across make five. Strokes are for the eye; the exact
// numbers stand beside them in words.
import { h, svg } from "./dom.mjs";
import { proof } from "./words.mjs";

// Strokes that fit a line of the sheet.
const MOST = 50;
const STEPS = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000];

/** How many tries one stroke stands for. */
export function perStroke(tries) {
  return STEPS.find((step) => tries / step <= MOST) ?? 10 ** Math.ceil(Math.log10(tries / MOST));
}

/** A drawing of so many strokes. */
export function strokes(count) {
  const GAP = 5;
  const FIVE = 27;
  const HIGH = 16;
  const drawing = svg("svg", {
    class: "strokes",
    width: Math.max(4, Math.floor(count / 5) * FIVE + (count % 5) * GAP),
    height: HIGH,
    "aria-hidden": "true",
  });
  for (let at = 0; at < count; at += 1) {
    const left = Math.floor(at / 5) * FIVE + 2;
    const nth = at % 5;
    // Drawn by hand: no stroke is quite like the one before.
    const lean = ((at * 7) % 5) / 4 - 0.5;
    const line =
      nth === 4
        ? `M${left - 2} ${HIGH - 4}L${left + 3 * GAP + 3} ${3.5}`
        : `M${left + nth * GAP + lean} 1.5L${left + nth * GAP - lean} ${HIGH - 1.5}`;
    drawing.append(svg("path", { d: line }));
  }
  return drawing;
}

/** The proof of a fix: strokes for "fixed" and "no change", then the numbers in words. */
export function tally(fix) {
  const words = proof(fix);
  if (fix.basis === "author" || fix.tries === 0) return h("p", { class: "tally" }, words);
  const each = perStroke(fix.tries);
  const drawn = (number) => (number === 0 ? null : strokes(Math.max(1, Math.round(number / each))));
  const group = (name, number) => h("span", { class: `group ${name.replace(" ", "-")}` }, h("span", null, `${name} ${number}`), drawn(number));
  const notes = [each > 1 ? `a stroke is ${each}` : null, fix.inferred > 0 ? `${fix.inferred} read from notes` : null].filter(Boolean);
  return h(
    "p",
    { class: "tally" },
    h("span", { class: "unseen" }, `${words}: `),
    group("fixed", fix.resolved),
    group("no change", fix.tries - fix.resolved),
    h("span", null, `of ${fix.tries}${notes.length > 0 ? ` (${notes.join(", ")})` : ""}`),
  );
}
