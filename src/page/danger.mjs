// A danger covers the sheet like a stamp until somebody on site says that it does not apply.
import { h, tick } from "./dom.mjs";
import { capital } from "./words.mjs";

/** The cover. `deny` takes a danger, `handOn` nothing; without them only what to do is shown. */
export function cover(dangers, { deny, handOn, keyOf }) {
  return h(
    "div",
    { class: "danger", role: "alertdialog", "aria-modal": deny ? "true" : null, "aria-label": "Stop: danger", tabindex: "-1" },
    dangers.map((danger, at) =>
      h(
        "article",
        null,
        h("p", { class: "stamp" }, "Stop"),
        h("h2", null, danger.title),
        h("p", { class: "why" }, capital(danger.why)),
        h("h3", null, "Do now"),
        h("ol", { class: "do-now" }, danger.do_now.map((step) => h("li", null, step))),
        deny ? tick(keyOf(at), "Somebody on site says that this does not apply", () => deny(danger)) : null,
      ),
    ),
    handOn ? tick(keyOf("end"), "Hand on to whoever goes there", handOn) : null,
    h("p", { class: "law" }, "Nothing else is offered until then. Local codes and licensed practice prevail."),
  );
}
