// What is drawn on the sheet, all of it from `now`: the case, an article, the back of the sheet.
import { cover } from "./danger.mjs";
import { h } from "./dom.mjs";
import { keysAct } from "./keys.mjs";
import { articlePage, back } from "./reading.mjs";
import { closedSheet, comesFirst, endedBy, ending, front, keysRow, makeSure, pile, remarkForm, toAsk, todo, triedRow } from "./rows.mjs";

/** What the window is called. */
export function title(now) {
  if (now.view === "article") return `${now.reading.page.title}, ${now.desk.name}`;
  if (now.view === "articles") return `Articles, ${now.desk.name}`;
  return now.state?.case ? `${now.state.case}, ${now.desk.name}` : `Job sheet, ${now.desk.name}`;
}

/** What must be known at once, whatever is shown. */
export function notices(now) {
  return [
    now.waiting ? h("p", { class: "notice", role: "alert" }, "The server does not answer. Nothing is lost: what you wrote is sent as soon as it does.") : null,
    now.notice ? h("p", { class: "notice", role: "status" }, now.notice) : null,
  ];
}

/** What stands on the sheet. `written` is the row that is being written on. */
export function content(now, acts, written) {
  // The case as it will be with what is being written.
  const shown = now.preview ?? now.state;
  const link = (one) => `/articles/${one}`;
  if (now.view === "articles") return now.reading;
  if (now.view === "article") {
    const remark = (piece) => acts.remark({ fix: piece.kind ? piece.id : null, article: now.reading.page.id, title: piece.title });
    return [articlePage(now.reading, { link, remark }), remarkForm(now, acts)];
  }
  if (now.view === "back") return back(now.reading, { turn: acts.turn });
  if (now.state?.closed) return closedSheet(now, acts);
  const dangers = shown?.answer?.danger ?? [];
  const ends = Boolean(now.state?.closing) || now.ending || endedBy(now.state?.lines ?? []);
  if (dangers.length > 0 && !now.preview && !ends) {
    const keyOf = (at) => (at === "end" ? "0" : at < 6 ? String(4 + at) : null);
    const stamp = cover(dangers, { keyOf, deny: (one) => acts.line(`no danger ${one.id}`), handOn: () => acts.line("hand on") });
    return [written.fill(now, acts), stamp];
  }
  const rows = [written.fill(now, acts), front(now, shown, acts)];
  if (ends) rows.push(ending(now, shown, acts));
  if (dangers.length > 0) rows.push(cover(dangers, {}));
  else if (!ends) {
    const both = [todo(now, shown, acts), toAsk(now, shown, acts)];
    rows.push(makeSure(now, shown, acts), comesFirst(shown) && !now.preview ? both.reverse() : both, triedRow(now, acts), ending(now, shown, acts));
  }
  if (!now.state && !now.preview) rows.push(pile(now, acts));
  rows.push(remarkForm(now, acts), keysRow(now, acts, keysAct()));
  return rows;
}
