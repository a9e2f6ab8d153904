// The page on site: unpacks what it carries, then draws one view at a time. The address after `#`
// says which, so the phone's own way back works.

import { answerView, dangerView } from "./answer_view.mjs";
import { act, asked, ended, isEmpty, newCase, returned, without } from "./case.mjs";
import { h, renew } from "../../page/dom.mjs";
import { choice, press } from "./press.mjs";
import { endForm, homeView, soFar } from "./home_view.mjs";
import { drawnId, load, save } from "./keep.mjs";
import { ask } from "./rank/ask.mjs";
import { open } from "./rank/ground.mjs";
import { doneSteps, mayDo, openBefore } from "./rank/steps.mjs";
import { openArticle, readingIn, written } from "./reading.mjs";
import { shownForm } from "./shown.mjs";
import { spoken } from "../../page/words.mjs";
import { ageNotice } from "./wording.mjs";
import { workView } from "./work_view.mjs";

const LIGHTS = [["device", "as the device"], ["day", "day"], ["night", "night"], ["sun", "bright sun"]];
const LIMIT = 8;

const byId = (id) => document.getElementById(id);
const now = () => new Date().toISOString().replace(/\.\d+Z$/, "Z");

/** Everything that changes. */
const page = { ground: null, kept: null, keeps: true, answer: null, step: 0, lifted: false };

export async function start() {
  const { kept, keeps } = load();
  Object.assign(page, { kept, keeps });
  light(kept.light);
  const field = byId("words");
  field.value = kept.now?.words ?? "";
  field.addEventListener("input", () => page.ground && change({ words: field.value }, "quietly"));
  field.addEventListener("blur", settle);
  // What can be typed into is drawn before the pack is opened.
  await new Promise((next) => setTimeout(next));
  page.ground = open(globalThis.carried.content);
  addEventListener("beforeprint", () => readingIn(byId("reading")));
  const { roles } = page.ground;
  if (!roles.includes(kept.role) || !mayChoose(kept.role)) {
    kept.role = page.ground.content.wish.role ?? roles[0];
  }
  if (!kept.now) {
    begin();
  }
  Object.assign(kept.now, { role: kept.role, words: field.value });
  frame();
  addEventListener("hashchange", route);
  route();
  document.body.dataset.ready = "yes";
  setTimeout(warmUp);
}

/** What is slow the first time is done before somebody types, piece by piece, so that nobody waits. */
function warmUp() {
  const { families, articles } = page.ground;
  const words = articles.filter(({ danger }) => !danger).slice(0, 4).map(({ title }) => title);
  const pieces = [
    () => page.ground.stopWords,
    () => page.ground.learned,
    ...Object.keys(families).map((name) => () => families[name]),
    ...words.map((title) => () => ask(page.ground, { words: title, by: "time" }, LIMIT)),
  ];
  const next = () => {
    pieces.shift()();
    if (pieces.length) {
      setTimeout(next);
    }
  };
  next();
}

function mayChoose(role) {
  const most = page.ground.content.wish.role;
  return !most || page.ground.may(most, role);
}

function begin() {
  page.kept.now = newCase(drawnId(), now(), page.kept.role);
  page.step = 0;
}

function keep() {
  page.keeps = save(page.kept) && page.keeps;
}

function change(parts, quietly) {
  page.kept.now = { ...page.kept.now, ...parts };
  keep();
  drawAnswer();
  if (!quietly) {
    drawShown();
  }
}

function take(what) {
  page.kept.now = act(page.kept.now, what, now());
  keep();
}

/** The parts of the page that stay: what is shown, the answer, the choices below. */
function frame() {
  const age = ageNotice(page.ground.about.as_of, Date.now());
  const roles = page.ground.roles.filter(mayChoose).map((role) => [role, spoken(role)]);
  byId("rest").replaceChildren(h("div", null,
    h("details", { id: "shown" }, h("summary", { id: "shown-words" }), h("div", { id: "shown-form" })),
    age && h("p", { class: "warn" }, age),
    !page.keeps && h("p", { class: "warn" }, "This browser keeps nothing: save the file before you close the page."),
    h("p", { id: "status", class: "unseen", role: "status" }),
    h("div", { id: "answer" }),
    h("div", { id: "done" }),
    h("details", { class: "settings" }, h("summary", null, "Who works here, and in what light"),
      choice("role", "Who works here?", roles, page.kept.role, setRole),
      choice("light", "Light", LIGHTS, page.kept.light, setLight))));
  drawShown();
}

function setRole(role) {
  page.kept.role = role;
  change({ role });
}

function setLight(name) {
  page.kept.light = name;
  keep();
  light(name);
}

function light(name) {
  document.documentElement.dataset.light = name;
}

/** What is known of the device, in one line. */
function shownInWords({ device, codes, signs }) {
  const title = page.ground.devices.find(({ id }) => id === device)?.title;
  const lamps = Object.entries(signs).map(([lamp, state]) => `${spoken(lamp)} ${spoken(state)}`);
  const known = [title, ...codes, ...lamps].filter(Boolean);
  return known.length ? `It shows: ${known.join(", ")}` : "What does it show? Device, lamps, codes";
}

function drawShown() {
  byId("shown-words").textContent = shownInWords(page.kept.now);
  const open = document.activeElement?.name;
  const value = document.activeElement?.value;
  byId("shown-form").replaceChildren(shownForm(page.ground.devices, page.kept.now, change));
  // The form is drawn anew; whoever goes through it by keyboard stays where they were.
  [...document.getElementsByName(open ?? "")].find((field) => field.value === value)?.focus();
}

/** The fix that the address asks for; null where it asks for something else. */
function fixInWork() {
  const address = decodeURIComponent(location.hash.slice(1));
  return address.startsWith("work=") ? address.slice(5) : null;
}

/** Which view the address asks for. */
function route() {
  const address = decodeURIComponent(location.hash.slice(1));
  const fix = fixInWork();
  const view = fix ? "work" : address === "home" ? "home" : address ? "read" : "ask";
  document.body.dataset.view = view;
  if (view === "work") {
    page.step = 0;
    drawWork(fix);
  } else if (view === "home") {
    drawHome();
  } else if (view === "read") {
    openArticle(address);
  } else {
    drawAnswer();
  }
  if (view !== "read") {
    scrollTo(0, 0);
  }
}

function titleOf(id) {
  const { ground } = page;
  const fix = ground.fixOf(id);
  const check = ground.checkOf(id);
  const article = ground.articles[ground.articleNumbers.get(id)];
  return fix?.title ?? check?.question ?? article?.title ?? id;
}

function think() {
  page.answer = ask(page.ground, asked(page.kept.now), LIMIT);
  return page.answer;
}

function drawAnswer() {
  const c = page.kept.now;
  const place = byId("answer");
  byId("done").replaceChildren(...[soFar(c, titleOf, takeBack)].filter(Boolean));
  const answer = c.end || isEmpty(c) ? null : think();
  const inPlace = cover(answer?.danger ?? []);
  tellSoon(answer);
  if (c.end) {
    place.replaceChildren(endedView(c));
  } else if (!answer) {
    place.replaceChildren(h("p", { class: "hint" }, "Say what is wrong, or pick what the lamps show. Or read: ", h("a", { href: "#contents" }, "all articles"), "."));
  } else if (answer.danger.length) {
    place.replaceChildren(...[inPlace].filter(Boolean));
  } else {
    const drawn = h("div", { "data-answer": true }, answerView(answer, replies(), titleOf), endForm(answer.articles, endCase));
    const there = place.firstElementChild;
    if (there?.hasAttribute("data-answer")) {
      renew(there, [...drawn.childNodes]);
    } else {
      place.replaceChildren(drawn);
    }
  }
}

/** Tells who cannot see the page, once the typing rests. */
function tellSoon(answer) {
  clearTimeout(page.telling);
  page.telling = setTimeout(() => {
    const first = answer?.fixes[0];
    byId("status").textContent = first ? `${answer.fixes.length} fixes, first: ${first.title}` : "";
  }, 800);
}

/** What can be said to an answer. */
function replies() {
  return {
    reply: (check, answer) => done({ kind: "answer", check: check.id, answer }),
    skip: (check) => done({ kind: "skip", check: check.id }),
    deny: (danger) => done(denied(danger)),
    confirm: (danger) => done({ kind: "confirm", article: danger.id }),
  };
}

/** A danger that does not apply, with the words that it was denied by: those that come later may tell it anew. */
function denied(danger) {
  return { kind: "deny", article: danger.id, words: page.kept.now.words };
}

/** Covers the page where dangers stop everything; while the words are changed they stand in place. */
function cover(dangers) {
  page.lifted &&= dangers.length > 0;
  const covered = dangers.length > 0 && !page.lifted;
  const drawn = dangers.length > 0 && dangerView(dangers, replies().deny, covered && lift);
  byId("cover").replaceChildren(...(covered ? [drawn] : []));
  const was = document.body.classList.contains("covered");
  document.body.classList.toggle("covered", covered);
  byId("main").inert = byId("head").inert = covered;
  if (covered && !was) {
    byId("cover").firstChild.focus();
  }
  return covered ? null : drawn;
}

function lift() {
  page.lifted = true;
  if (fixInWork()) {
    location.hash = "";
  }
  drawAnswer();
  byId("words").focus();
}

/** Whoever is done with changing the words sees the cover again. */
function settle() {
  if (page.lifted) {
    page.lifted = false;
    setTimeout(drawAnswer, 200);
  }
}

function done(what) {
  take(what);
  if (fixInWork()) {
    drawWork(fixInWork());
  }
  drawAnswer();
  scrollTo(0, 0);
}

function takeBack(at) {
  page.kept.now = without(page.kept.now, at);
  keep();
  drawAnswer();
}

function endCase(outcome, article, note) {
  if (outcome === "resolved") {
    take({ kind: "try", fix: "other", result: "resolved", article });
  }
  page.kept.now = ended(page.kept.now, outcome, article, note, now());
  keep();
  drawAnswer();
  scrollTo(0, 0);
}

function endedView(c) {
  return h("section", { class: "ended" },
    h("h2", null, c.end.outcome === "resolved" ? "It works again" : `Ended: ${spoken(c.end.outcome)}`),
    h("p", null, `Case ${c.id} waits to be sent to the desk.`),
    h("div", { class: "told" },
      press("Next case", nextCase, { class: "good" }),
      press("Go on with this one", () => change({ end: null }), { class: "quiet" })));
}

function nextCase() {
  page.kept.cases.push(page.kept.now);
  begin();
  keep();
  byId("words").value = "";
  drawShown();
  drawAnswer();
  byId("words").focus();
}

/** A fix in work. */
function drawWork(id) {
  const { ground } = page;
  const fix = ground.fixOf(id);
  const place = byId("work");
  const back = h("p", { class: "back" }, h("a", { href: "#" }, "Back to the list"));
  if (!fix) {
    place.replaceChildren(back, h("p", null, "There is no such fix in this pack."));
    return;
  }
  const c = page.kept.now;
  const answer = c.end || isEmpty(c) ? null : think();
  cover(answer?.danger ?? []);
  const { tried, seen, couldNot } = asked(c);
  const before = openBefore(fix.number, doneSteps(tried, seen, couldNot, ground), ground);
  const view = {
    answer,
    fix: { ...fix, minutes: ground.steps[fix.number].minutes },
    allowed: mayDo(fix, c.role, ground),
    cautions: ground.cautions(fix.hazards),
    before: before.map((step) => beforeLine(step, c, fix.hazards)),
  };
  const acts = {
    ...replies(),
    reply: (check, answer) => takeHere({ kind: "answer", check: check.id, answer }, id),
    skip: (check) => takeHere({ kind: "skip", check: check.id }, id),
    go: (step) => {
      page.step = step;
      drawWork(id);
      place.querySelector(".step, .told")?.scrollIntoView({ block: "center" });
    },
    told: (result) => tell(fix, result),
    remark: (step, text) => remark(fix, step, text),
  };
  place.replaceChildren(back, h("div", null, workView(view, written(id), page.step, acts)));
}

/** Something that must be done before: a check to be answered here, or another fix. Cautions for the
 * hazards already `told` stand above it. */
function beforeLine(step, c, told) {
  const { ground } = page;
  const { work } = ground.steps[step];
  if (step < ground.fixes.length) {
    return { words: work.title, href: `#work=${work.id}` };
  }
  const allowed = mayDo(work, c.role, ground);
  const cautions = ground.cautions(work.hazards.filter((hazard) => !told.includes(hazard)));
  return { check: { ...work, cautions }, allowed };
}

function takeHere(what, fix) {
  take(what);
  drawWork(fix);
}

function tell(fix, result) {
  const likeliest = page.answer?.fixes.find(({ id }) => id === fix.id)?.articles[0];
  take({ kind: "try", fix: fix.id, result, article: likeliest ?? fix.id.split("#")[0] });
  location.hash = "";
}

function remark(fix, step, text) {
  const about = step ? `step ${step}: ${text}` : text;
  page.kept.remarks.push({ on: fix.id, at: now(), case: page.kept.now.id, text: about });
  keep();
  drawWork(fix.id);
}

function drawHome() {
  const { cases, remarks } = page.kept;
  const all = page.kept.now.end ? [...cases, page.kept.now] : cases;
  const text = returned(page.ground.about, all, remarks);
  const acts = { saveFile: () => saveFile(text), clear };
  byId("home").replaceChildren(h("div", null,
    h("p", { class: "back" }, h("a", { href: "#" }, "Back to the case")),
    homeView({ text, cases: all, remarks, keeps: page.keeps }, acts, titleOf)));
}

function saveFile(text) {
  const address = URL.createObjectURL(new Blob([text], { type: "application/x-ndjson" }));
  h("a", { href: address, download: `site-${now().slice(0, 10)}-${page.kept.now.id}.jsonl` }).click();
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}

function clear() {
  page.kept.cases = [];
  page.kept.remarks = [];
  if (page.kept.now.end) {
    begin();
    byId("words").value = "";
    drawShown();
  }
  keep();
  location.hash = "";
}

start().catch((error) => {
  readingIn(byId("reading"));
  byId("rest").replaceChildren(h("p", { class: "warn" }, `This page cannot search (${error.message}). The articles can be read below; a newer browser can do both.`));
});
