// Reading: the list of articles, one article, and the back of the sheet with closed cases alike.
import { article } from "./article.mjs";
import { h, row, tick } from "./dom.mjs";
import { day, spoken } from "./words.mjs";

/** The list of all articles, narrowed as one types. */
export function articleList(articles, link) {
  const list = h("ul", { class: "index" });
  const show = (wanted) => {
    const words = wanted.toLowerCase().split(/\s+/).filter(Boolean);
    const fits = articles.filter((one) => words.every((word) => `${one.title} ${one.id} ${one.area}`.toLowerCase().includes(word)));
    list.replaceChildren(
      ...fits.map((one) => h("li", null, h("a", { href: link(one.id) }, one.title), one.danger ? h("strong", { class: "hazard" }, " stops the call") : null, h("span", { class: "area" }, ` ${one.area}`))),
    );
    count.textContent = fits.length === 1 ? "1 article" : `${fits.length} articles`;
  };
  const count = h("p", { class: "hint", role: "status" });
  const find = h("input", { class: "pen", id: "find", type: "search", autocomplete: "off", oninput: (event) => show(event.target.value) });
  show("");
  return [h("h1", { class: "title", id: "title", tabindex: "-1" }, "Articles"), row("Find", "find", h("label", { class: "unseen", for: "find" }, "Words of the title"), find, count), row("Articles", "index", list)];
}

/** An article with its remark form. */
export function articlePage(found, { link, remark }) {
  return article(found, { link, remark });
}

/** Closed cases alike: what was said, what was tried, how it ended. */
export function back(tickets, { turn }) {
  const results = { resolved: "fixed it", "no-change": "no change", "not-possible": "could not be done" };
  const ends = { resolved: "Fixed", "handed-on": "Handed on", dropped: "Dropped" };
  return [
    h("h1", { class: "title", id: "title", tabindex: "-1" }, "Closed cases like this one"),
    tickets.length === 0 ? h("p", { class: "hint" }, "None was found. The closest ones appear once something was said.") : null,
    tickets.map((ticket) =>
      row(
        `${day(ticket.closed)}, ${ticket.id}`,
        `ticket-${ticket.id}`,
        h("p", { class: "ink" }, ticket.said || "(nothing was written down)"),
        ticket.tries.length > 0 ? h("ul", { class: "made" }, ticket.tries.map((one) => h("li", null, `${one.title}: ${results[one.result] ?? spoken(one.result)}`))) : null,
        h("p", { class: "notes" }, [ends[ticket.outcome] ?? "Closed", ticket.article ? `under ${ticket.article}` : null, ticket.device ? `on ${ticket.device}` : null].filter(Boolean).join(", "), "."),
      ),
    ),
    h("p", { class: "turn" }, tick(".", "turn the sheet back", turn)),
  ];
}
