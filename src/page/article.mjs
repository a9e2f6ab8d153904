// An article to read: what is going on, its checks and its fixes with their evidence.
import { cleaned, h, row } from "./dom.mjs";
import { cautions, who } from "./fix.mjs";
import { tally } from "./tally.mjs";
import { chance, day, minutes, sentences, spoken } from "./words.mjs";

/** The whole article: `{ page, html, evidence }`. `remark` takes a full id; `link` an article's id. */
export function article({ page, html, evidence }, { remark, link }) {
  const proofs = new Map((evidence?.fixes ?? []).map((fix) => [fix.id, fix]));
  return [
    h("h1", { class: "title", id: "title", tabindex: "-1" }, page.title),
    page.asked ? h("p", { class: "because" }, `“${page.asked}” is its old name.`) : null,
    status(page),
    page.do_now?.length > 0 ? row("Do now", "now", h("ol", { class: "do-now" }, page.do_now.map((step) => h("li", null, step)))) : null,
    html.intro ? row("What is going on", "intro", cleaned(html.intro)) : null,
    signs(page),
    page.checks.map((piece, at) => block("Check", piece, at, html, null, remark, link)),
    page.fixes.map((piece, at) => block("Fix", piece, at, html, proofs.get(piece.id), remark, link)),
    row("Kept by", "kept", h("p", null, kept(page, evidence)), h("p", { class: "law" }, page.footer)),
  ];
}

function status(page) {
  const words = [];
  if (page.state === "draft") words.push("A draft: not served in answers yet.");
  if (page.state === "withdrawn") words.push("Withdrawn: no longer served in answers.");
  if (page.errors) words.push("It has errors and is not served in answers; `fixtally lint` says which.");
  return words.length === 0 ? null : h("p", { class: "because", role: "note" }, words.join(" "));
}

function signs(page) {
  const told = [
    page.symptoms.length > 0 ? h("p", null, "Callers say: ", h("em", null, page.symptoms.join("; ")), ".") : null,
    page.codes.length > 0 ? h("p", null, `Codes: ${page.codes.join(", ")}.`) : null,
    page.signs.length > 0 ? h("p", null, `Signs: ${page.signs.map((sign) => `${spoken(sign.name)} ${spoken(sign.state)}`).join("; ")}.`) : null,
    h("p", null, `Devices: ${page.devices.length > 0 ? page.devices.join(", ") : "all"}${page.firmware ? `, firmware ${page.firmware}` : ""}.`),
  ];
  return row("How to know it", "signs", told);
}

function block(label, piece, at, html, proof, remark, link) {
  const id = piece.id.slice(piece.id.lastIndexOf("#") + 1);
  const effort = piece.left_out
    ? null
    : h("p", { class: "effort" }, who(piece.who), `, ${minutes(piece.minutes)}`, piece.answers?.length > 0 ? `: ${piece.answers.map(spoken).join(", ")}` : "");
  return h(
    "section",
    { class: "row piece", id, "aria-labelledby": `title-${label}-${at}` },
    h("p", { class: "label" }, `${label} ${at + 1}`),
    h(
      "div",
      { class: "fill" },
      h("h2", { id: `title-${label}-${at}` }, piece.title),
      proof?.share ? h("p", { class: "share" }, `Ends ${chance(proof.share.share)} of this article's cases (${chance(proof.share.low)} to ${chance(proof.share.high)}).`) : null,
      proof ? tally({ ...proof, basis: proof.basis ?? "tickets" }) : null,
      piece.left_out ? h("p", { class: "because", role: "note" }, `Not shown: ${piece.left_out}.`) : null,
      cautions(piece.cautions),
      piece.after_words.length > 0 ? h("p", { class: "notes" }, `First: ${sentences(piece.after_words)}`) : null,
      piece.expect?.length > 0 ? h("p", { class: "notes" }, `Speaks for it: ${piece.expect.join("; ")}.`) : null,
      effort,
      html.pieces[piece.id] ? cleaned(html.pieces[piece.id]) : null,
      piece.from ? h("p", { class: "notes" }, "Written in ", link ? h("a", { href: link(piece.from) }, piece.from) : piece.from, ".") : null,
      remark ? h("button", { type: "button", class: "wrong", onclick: () => remark(piece) }, "This is wrong: leave a remark") : null,
    ),
  );
}

function kept(page, evidence) {
  const parts = [];
  parts.push(page.owner ? `Kept by ${page.owner}` : "No owner is named");
  if (page.reviewed) parts.push(`last reviewed on ${day(page.reviewed)}`);
  if (evidence) parts.push(`${evidence.cases} cases`);
  return `${parts.join(", ")}.`;
}
