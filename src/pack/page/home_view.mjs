// What was done on site, and how it gets back to the desk.

import { h, svg } from "../../page/dom.mjs";
import { press } from "./press.mjs";
import { qrCode } from "./qr.mjs";
import { spoken } from "../../page/words.mjs";
import { resultInWords } from "./wording.mjs";

/** What was done in the case in hand; `undo` takes the place of one thing. */
export function soFar(c, titleOf, undo) {
  if (!c.acts.length) {
    return null;
  }
  const line = (act) => {
    switch (act.kind) {
      case "answer":
        return `${titleOf(act.check)} ${spoken(act.answer)}`;
      case "skip":
        return `${titleOf(act.check)} could not be looked at`;
      case "try":
        return `${act.fix === "other" ? "something else" : titleOf(act.fix)}: ${resultInWords(act.result)}`;
      case "confirm":
        return `danger: ${titleOf(act.article)}`;
      default:
        return `no danger: ${titleOf(act.article)}`;
    }
  };
  return h("section", { class: "so-far" },
    h("h2", null, "So far"),
    h("ol", null, c.acts.map((act, at) =>
      h("li", null, h("span", null, line(act)), press("take back", () => undo(at), { class: "quiet", "aria-label": `take back: ${line(act)}` })))));
}

/** How a case ends without one of the listed fixes; `end` takes outcome, article and note. */
export function endForm(articles, end) {
  const note = h("textarea", { rows: "3", id: "note" });
  const which = [...articles.map(({ id, title }) => [id, title]), ["unlisted", "none of these"], ["", "not sure"]];
  let article = "";
  const pick = ([id, words]) =>
    h("label", null,
      h("input", { type: "radio", name: "article", value: id, checked: id === "", onchange: () => (article = id) }),
      h("span", null, words));
  return h("details", { class: "end" },
    h("summary", null, "End this case in another way"),
    h("fieldset", { class: "choice" }, h("legend", null, "Which article was it?"), which.map(pick)),
    h("label", { class: "line", for: "note" }, "For whoever goes on"), note,
    h("div", { class: "told" },
      press("Something else ended it", () => end("resolved", article || null, note.value)),
      press("Hand it on", () => end("handed-on", article || null, note.value)),
      press("Nobody wants it any more", () => end("dropped", article || null, note.value), { class: "quiet" })));
}

/** Closed cases and remarks, as a file, as text, as a code to be scanned. */
export function homeView({ text, cases, remarks, keeps }, acts, titleOf) {
  if (!cases.length && !remarks.length) {
    return [
      h("h2", null, "Nothing to send home yet"),
      h("p", null, "Cases that ended and remarks on steps wait here until you are back."),
    ];
  }
  return [
    h("h2", null, "Send this to the desk"),
    !keeps && h("p", { class: "warn" }, "This browser keeps nothing: save the file before you close the page."),
    h("ul", null,
      cases.map((c) => h("li", null, `${c.id}: ${c.words || c.codes.join(", ")}; ${spoken(c.end.outcome)}`)),
      remarks.map((remark) => h("li", null, `Remark on ${titleOf(remark.on)}: ${remark.text}`))),
    h("div", { class: "told" },
      press("Save as a file", acts.saveFile, { class: "good" }),
      press("Sent: clear this list", acts.clear, { class: "quiet" })),
    h("details", null, h("summary", null, "Show as a code to scan"), codeOf(text)),
    h("details", null, h("summary", null, "Show as text"), h("pre", { class: "returned", tabindex: "0" }, text)),
  ];
}

function codeOf(text) {
  const modules = qrCode(text);
  if (!modules) {
    return h("p", null, "It is too long for one code. Save the file instead.");
  }
  const size = modules.length;
  const dark = modules.flatMap((row, y) => row.map((is, x) => (is ? `M${x} ${y}h1v1h-1z` : "")));
  return svg("svg", { class: "code", viewBox: `-4 -4 ${size + 8} ${size + 8}`, role: "img", "aria-label": "code to scan", "shape-rendering": "crispEdges" },
    svg("rect", { x: -4, y: -4, width: size + 8, height: size + 8, fill: "#fff" }),
    svg("path", { d: dark.join(""), fill: "#000" }));
}
