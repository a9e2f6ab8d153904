// A danger covers the sheet like a stamp until somebody on site says that it does not apply. What the
// caller says meanwhile is still written down.
import { h, tick } from "./dom.mjs";
import { capital } from "./words.mjs";

/** The cover. `deny` takes a danger, `handOn` nothing; without them only what to do is shown. */
export function cover(dangers, { deny, handOn, keyOf }) {
  return h(
    "div",
    { class: "danger", role: "region", "aria-label": "Stop: danger", "data-standing": Boolean(deny) },
    dangers.map((danger, at) =>
      h(
        "article",
        null,
        h("p", { class: "stamp" }, "Stop"),
        h("h2", null, danger.title),
        h("p", { class: "why" }, capital(danger.why)),
        h("h3", null, "Do now"),
        h("ol", { class: "do-now" }, danger.do_now.map((step) => h("li", null, step))),
        deny ? tick(keyOf(at), "Somebody on site says that this does not apply", () => deny(danger), { "data-sure": true }) : null,
      ),
    ),
    handOn ? tick(keyOf("end"), "Hand on to whoever goes there", handOn, { "data-sure": true }) : null,
    h("p", { class: "law" }, "Nothing else is offered until then. Local codes and licensed practice prevail."),
  );
}
