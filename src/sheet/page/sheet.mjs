// The sheet: one case from top to bottom. What is drawn follows from `now` alone; `draw` draws it anew
// after every act and every keystroke, but for the line that is being written on.
import { api, Refused } from "./api.mjs";
import { content, notices, title } from "./content.mjs";
import { h } from "./dom.mjs";
import { drafted, dropDraft, keepDraft } from "./draft.mjs";
import { heldInWords, holder, markHeld, meantBy } from "./held.mjs";
import { letKeysAct, listen } from "./keys.mjs";
import { articleList } from "./reading.mjs";
import { comesFirst, head, pen, saidRow } from "./rows.mjs";

const sheet = document.querySelector("#sheet");
const live = document.querySelector("#live");
const alarm = h("div", { class: "unseen", role: "alert" });
document.body.append(alarm);
const server = api((waiting) => {
  now.waiting = waiting;
  draw();
});

/** Everything that is drawn. */
const now = {
  desk: null,
  /** The case in hand, as last answered; null on a fresh sheet. */
  state: null,
  /** The same with what is being written, not yet done. */
  preview: null,
  pile: [],
  version: 0,
  view: "sheet",
  reading: null,
  ending: false,
  frontOpen: false,
  keysOpen: false,
  remark: null,
  summary: null,
  notice: null,
  unclear: null,
  waiting: false,
  busy: false,
  // Lines that are on their way, and those that wait for them.
  sending: [],
  // What was struck or put back last, so that undoing it is possible.
  struck: null,
  // A digit alone on the line that may be a key.
  held: null,
};

const line = pen({ oninput: () => typed(true), onenter: () => enter(line.value) });
const written = saidRow(line);
const held = holder(now, { isBusy: () => now.busy || queue.length > 0, act: tickHeld });
let before = "";
let sequence = 0;
let shownSequence = 0;
let asking = false;

// ---- what is asked of the server ----

/** A keystroke: the newest one is answered, an answer that comes late is dropped. */
function typed(byHand = false) {
  const fresh = byHand && before === "";
  before = line.value;
  sequence += 1;
  now.unclear = null;
  keep();
  if (line.value.trim() === "" || /^[0-9]$/.test(line.value)) {
    shownSequence = sequence;
    // The boxes of the case as it is, and no peek at a key.
    now.preview = null;
    draw();
    if (held.look(line.value, fresh)) say(heldInWords(now.held));
    draw();
    if (line.value.trim() === "" || now.held) return;
  }
  held.drop();
  sheet.classList.add("writing");
  peek();
}

async function peek() {
  if (asking) return;
  asking = true;
  while (shownSequence < sequence && line.value.trim() !== "") {
    const asked = sequence;
    const of = caseNow();
    try {
      const answer = await server.peek(of, asked, line.value);
      if (answer.seq > shownSequence && line.value.trim() !== "" && of === caseNow()) {
        shownSequence = answer.seq;
        now.preview = answer.state;
        draw();
      }
    } catch {
      // The next keystroke asks again; a line that is written is tried until there is an answer.
      break;
    }
  }
  asking = false;
}

/** The case at hand; null on a fresh sheet. */
function caseNow() {
  return now.state?.case ?? null;
}

/** What was written and is not in the case yet outlives a reload. */
function keep() {
  keepDraft(caseNow(), [...now.sending, line.value].filter(Boolean).join(" "));
}

function clearLine() {
  line.value = "";
  before = "";
  held.drop();
  keep();
}

/** Enter: what stands on the line is taken from it at once, so that one can write on. */
function enter(text) {
  const words = text.trim();
  if (words === "") return;
  if (now.held) return tickHeld();
  now.sending.push(words);
  clearLine();
  inTurn({ words, act: () => busy(() => send(words, true)) });
}

/** The digit on the line ticks its box, if the box still means what it meant when it was held. */
function tickHeld() {
  const meant = now.held;
  clearLine();
  const act = () => {
    const box = meantBy(meant);
    if (box) return early(() => box.click());
    line.value = [meant.key, line.value].filter(Boolean).join(" ");
    typed();
  };
  inTurn({ words: meant.key, act });
}

/** A line to the server. `own` was written by hand: if it is not understood it stands on the line again. */
async function send(words, own = false) {
  try {
    if (now.state === null || now.state.closed) {
      const begun = await server.begin();
      now.state = { case: begun.case, on: 0, version: now.version };
      go(`/cases/${begun.case}`, { replace: true });
    }
    const state = await server.write(now.state.case, now.state.on, now.state.version, words);
    if (own) sent(words, state.unclear !== null);
    took(state);
  } catch (error) {
    if (own) sent(words, true);
    throw error;
  }
}

/** An answer came for a line, which is back on the pen's line where it is not in the case. */
function sent(words, back) {
  now.sending.splice(now.sending.indexOf(words), 1);
  if (back) line.value = [words, line.value].filter(Boolean).join(" ");
  dropDraft(caseNow());
  keep();
}

/** A box was ticked: what is still on the line is said first, unless it was written after the key. */
async function tickLine(text) {
  if (now.busy) return;
  if (now.held) clearLine();
  const first = now.early ? "" : line.value.trim();
  if (first !== "") {
    now.sending.push(first);
    clearLine();
  }
  await busy(async () => {
    if (first !== "") await send(first, true);
    if (!now.unclear) await send(text);
  });
}

async function undo() {
  if (!now.state || now.busy) return;
  if (now.struck !== null) return strike({ n: now.struck });
  await busy(async () => took(await server.undo(now.state.case, now.state.on)));
}

async function strike(of) {
  if (now.busy) return;
  await busy(async () => {
    const state = await server.strike(now.state.case, now.state.on, of.n);
    const again = now.struck === of.n;
    took(state);
    now.struck = again ? null : of.n;
  });
}

// Keys and lines that came while an answer was on its way, in order: `act` does it, `words` is the line.
const queue = [];

/** Does something, or lets it wait for the answer that is on its way. */
function inTurn(one) {
  if (now.busy || queue.length > 0) queue.push(one);
  else one.act();
}

/** One act at a time. A sheet that somebody else wrote on meanwhile is shown as it is now. */
async function busy(what) {
  const before = hazards();
  now.busy = true;
  now.notice = null;
  try {
    await what();
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    if (error.state) took(error.state);
    now.notice = error.state ? "This sheet was written on elsewhere meanwhile. Look again, then repeat what is missing." : `Not done: ${error.message}.`;
  } finally {
    now.busy = false;
    sequence += 1;
    shownSequence = sequence;
    if (queue.length > 0 && (now.notice || now.unclear || hazards() !== before)) stopQueue();
    draw();
    refocus();
    next();
  }
}

/** What must be looked at before a key may answer it: dangers, checks before a fix, questions at the end. */
function hazards() {
  const dangers = (now.state?.answer?.danger ?? []).map((one) => one.id);
  return [...dangers, now.state && comesFirst(now.state) ? now.state.asking.id : "", now.state?.closing?.asks ?? ""].join();
}

/** The next of what waits; what is left on the line is looked at as if it had just been typed. */
async function next() {
  const one = queue.shift();
  if (one) {
    await one.act();
    if (!now.busy) next();
  } else if (line.value.trim() !== "") typed();
}

/** Something came that nobody saw when the keys were pressed: lines go back on the pen's line. */
function stopQueue() {
  const words = queue.map((one) => one.words).filter(Boolean);
  queue.length = 0;
  now.sending = [];
  line.value = [...words, line.value].filter(Boolean).join(" ");
  keep();
  now.notice ??= "Keys that were pressed before this came were not taken. Look first.";
}

/** A key that came while an answer was on its way. */
function later(press) {
  inTurn({ act: () => early(press) });
}

/** Does what a key does; what was written after it is not said before it. */
function early(press) {
  now.early = true;
  press();
  now.early = false;
}

function took(state) {
  now.state = state;
  now.preview = null;
  now.unclear = state.unclear;
  now.ending = false;
  now.struck = null;
  if (state.case && state.case !== caseOf(location.pathname)) go(`/cases/${state.case}`, { replace: true });
  say([...(state.heard ?? []), ...(state.unknown ?? []), ...(state.changed ?? [])].join("; "));
  if (state.closed) closed(state);
}

async function closed(state) {
  try {
    now.summary = (await server.summary(state.case)).text;
  } catch {
    now.summary = null;
  }
  draw();
}

/** The pile and the desk's version, as soon as they change. */
async function follow() {
  for (;;) {
    try {
      const change = await server.changes(now.version);
      const newer = now.version !== 0 && change.version !== now.version;
      now.version = change.version;
      now.pile = change.pile;
      if (newer) await renew();
      if (now.view === "sheet" && now.state === null) draw();
    } catch {
      await new Promise((done) => setTimeout(done, 1500));
    }
  }
}

/** The desk changed: what is shown is asked for again. */
async function renew() {
  now.desk = await server.desk();
  if (now.view === "article") return open(location.pathname, { quietly: true });
  if (now.view === "sheet" && now.state && !now.state.closed && !now.busy) {
    const state = await server.look(now.state.case).catch(() => null);
    // Never does the order change under a finger: another one waits for the next act.
    const order = (of) => of.answer?.fixes.map((fix) => fix.id).join() ?? "";
    if (state && !now.busy && state.on === now.state.on && state.case === now.state.case && order(state) === order(now.state)) {
      now.state = state;
      draw();
    }
  }
}

// ---- where one is ----

function caseOf(path) {
  const found = /^\/cases\/([^/]+)$/.exec(path);
  return found ? decodeURIComponent(found[1]) : null;
}

function go(path, { replace = false } = {}) {
  if (replace) history.replaceState(null, "", path);
  else history.pushState(null, "", path);
}

/** Follows a link inside the sheet. */
function visit(path) {
  go(path);
  return open(path);
}

async function open(path, { quietly = false } = {}) {
  const [plain] = path.split("#");
  const id = caseOf(plain);
  const article = /^\/articles\/([^/]+)$/.exec(plain);
  try {
    if (plain === "/articles") {
      now.reading = articleList(await server.articles(), (one) => `/articles/${one}`);
      now.view = "articles";
    } else if (article) {
      now.reading = await server.article(decodeURIComponent(article[1]));
      now.view = "article";
    } else {
      now.view = "sheet";
      now.reading = null;
      Object.assign(now, { preview: null, unclear: null, ending: false, remark: null, summary: null, struck: null });
      now.state = id ? await server.look(id) : null;
      held.drop();
      line.value = drafted(caseNow());
      before = line.value;
      if (now.state?.closed) await closed(now.state);
    }
    if (!quietly) now.notice = null;
  } catch (error) {
    now.view = "sheet";
    now.state = null;
    now.notice = error instanceof Refused ? `${error.message}.` : "That page could not be fetched.";
  }
  draw();
  if (quietly) return;
  if (now.view === "sheet") {
    refocus();
    if (line.value) typed();
  } else {
    const wanted = location.hash && document.getElementById(decodeURIComponent(location.hash.slice(1)));
    (wanted || document.querySelector("#title"))?.scrollIntoView();
    document.querySelector("#find, #title")?.focus({ preventScroll: true });
  }
}

// ---- what keys without a box do ----

async function turn() {
  if (now.view === "back") {
    now.view = "sheet";
    draw();
    return refocus();
  }
  if (!now.state?.case) return;
  now.reading = (await server.similar(now.state.case)).tickets;
  now.view = "back";
  draw();
  document.querySelector("#title")?.focus();
}

function aside() {
  if (now.remark) now.remark = null;
  else if (now.ending) now.ending = false;
  else if (now.keysOpen) now.keysOpen = false;
  else if (now.view === "back") return turn();
  else if (now.view !== "sheet") return history.length > 1 ? history.back() : visit("/");
  else if (line.value !== "") {
    clearLine();
    return typed();
  } else if (now.state) return visit("/");
  draw();
  refocus();
}

const does = {
  "-": undo,
  ".": () => turn(),
  ",": () => toggle("frontOpen", ".devices input"),
  "?": () => toggle("keysOpen"),
  "!": () => remarkOn({}),
  Escape: aside,
};

function toggle(what, focus) {
  now[what] = !now[what];
  draw();
  if (now[what] && focus) document.querySelector(focus)?.focus();
}

/** Opens the form for a remark on what is at hand, a step of it, or a piece of an article. */
function remarkOn(about) {
  const fix = about.fix ?? now.state?.showing?.id ?? null;
  const article = about.article ?? now.state?.answer?.articles[0]?.id ?? null;
  if (!fix && !article) return;
  now.remark = { fix, article, case: now.state?.case ?? null, begin: about.step ? `Step ${about.step}: ` : "", title: about.title ?? now.state?.showing?.title ?? null };
  draw();
  document.querySelector("#remark")?.focus();
}

async function leaveRemark(text) {
  const { fix, article, case: of } = now.remark;
  try {
    const left = await server.remark({ fix, article, case: of, text });
    now.remark = null;
    now.notice = `Remark ${left.number} is left for whoever keeps the article.`;
  } catch (error) {
    now.notice = `Not left: ${error.message}.`;
  }
  draw();
  refocus();
}

// ---- drawing ----

function say(words) {
  live.textContent = words;
}

/** Tells who cannot see the sheet of dangers, once as they come up. */
function tellDangers() {
  const dangers = now.view === "sheet" && !now.state?.closed ? (now.preview ?? now.state)?.answer?.danger ?? [] : [];
  const words = dangers.map((one) => `Stop: danger. ${one.title}. ${one.do_now.join(" ")}`).join(" ");
  if (alarm.textContent !== words) alarm.textContent = words;
}

function refocus() {
  if (now.view !== "sheet" || matchMedia("(pointer: coarse)").matches) return;
  if (line.isConnected) line.focus({ preventScroll: true });
}

const acts = {
  line: tickLine,
  undo,
  strike,
  turn,
  aside,
  visit,
  draft: () => line.value,
  toggle,
  end: () => toggle("ending"),
  remark: remarkOn,
  leaveRemark,
  keys: (act) => {
    letKeysAct(act);
    draw();
  },
};

function draw() {
  if (!now.desk) return;
  const hadFocus = document.activeElement === line;
  const where = [line.selectionStart, line.selectionEnd];
  sheet.className = `sheet ${now.view}${now.preview ? " writing" : ""}${now.view === "sheet" && !now.state ? " fresh" : ""}`;
  document.title = title(now);
  put([head(now, acts), notices(now), content(now, acts, written)].flat(Infinity).filter(Boolean));
  markHeld(now.held);
  tellDangers();
  // Asking for the focus again would lay the whole sheet out before it is painted.
  if (hadFocus && line.isConnected && document.activeElement !== line) {
    line.focus({ preventScroll: true });
    line.setSelectionRange(...where);
  }
}

/** Puts these on the sheet; the row that is being written on is not moved. */
function put(wanted) {
  const stays = written.section;
  const at = wanted.indexOf(stays);
  if (at < 0 || stays.parentElement !== sheet) return sheet.replaceChildren(...wanted);
  for (const child of [...sheet.childNodes]) if (child !== stays) child.remove();
  stays.before(...wanted.slice(0, at));
  stays.after(...wanted.slice(at + 1));
}

addEventListener("popstate", () => open(location.pathname));
document.addEventListener("click", (event) => {
  const link = event.target.closest?.("a[href^='/']");
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey || link.target) return;
  event.preventDefault();
  visit(link.getAttribute("href"));
});
listen(() => (line.isConnected ? line : null), does, (press) => (now.busy || queue.length > 0) && (later(press), true));

now.desk = await server.desk();
await open(location.pathname + location.hash);
follow();
