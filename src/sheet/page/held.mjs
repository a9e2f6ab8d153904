// A digit alone on the line may be a key, or the beginning of a line: what follows says which. It ticks its
// box when nothing else is typed for a moment, or at once on Enter; what ends a case or denies a danger waits
// for Enter. Written on, it is text.
import { keysAct } from "./keys.mjs";

/** Milliseconds in which nothing else is typed. A slow typist takes 300 for a letter. */
const PAUSE = 500;

/** The box that a key ticks. */
export function boxOf(key) {
  return [...document.querySelectorAll(`button[data-key="${CSS.escape(key)}"]`)].find((one) => !one.closest("[inert]"));
}

/** All that says what a box does: its words, and the question or the fix that they belong to. */
const meaningOf = (box) => `${box.textContent} ${box.closest("li, .ask-first, .danger, .row")?.textContent}`;

/** The box that was meant when the digit was held, if it still means the same. */
export function meantBy({ key, meaning }) {
  const box = boxOf(key);
  return box && meaningOf(box) === meaning ? box : null;
}

/**
 * Holds a digit in `now.held`: `key`, `words` of its box, `meaning`, and whether it is `sure` that only Enter
 * ticks it. `act` ticks it; it waits while `isBusy`.
 */
export function holder(now, { isBusy, act }) {
  let timer = 0;
  const drop = () => {
    clearTimeout(timer);
    now.held = null;
  };
  const wait = () => {
    timer = setTimeout(() => {
      if (isBusy()) now.held.overdue = true;
      else act();
    }, PAUSE);
  };
  /** Looks at the line; `fresh` where its first letter was typed just now. Says whether a digit is held. */
  const look = (text, fresh) => {
    const box = keysAct() && /^[0-9]$/.test(text) ? boxOf(text) : null;
    if (!box) return void drop();
    const meaning = meaningOf(box);
    if (now.held?.key === text && now.held.meaning === meaning) {
      if (now.held.overdue) wait();
      now.held.overdue = false;
      return true;
    }
    // What it would do came up or changed after it was typed: only Enter does that.
    const known = fresh && !now.held;
    drop();
    const sure = !known || box.hasAttribute("data-sure") || matchMedia("(pointer: coarse)").matches;
    now.held = { key: text, words: box.querySelector(".words").textContent, meaning, sure, overdue: false };
    if (!sure) wait();
    return true;
  };
  return { look, drop };
}

/** What is told of a held digit. */
export function heldInWords({ key, words, sure }) {
  return sure ? `Enter: “${words}”. Or write on: then ${key} is text.` : `${key} ticks “${words}”, unless you write on.`;
}

/** Marks the box of the digit that is held. */
export function markHeld(held) {
  if (held) boxOf(held.key)?.classList.add("held");
}
