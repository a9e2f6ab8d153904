// One key each, while the line is empty: digits tick boxes, `-` takes back, `.` turns the sheet, `,`
// opens the front, `!` remarks, `?` shows the keys, Escape lays the sheet aside. A space begins a line
// that starts with one of these. They act only from the line or from nowhere, never from a field, and can
// be switched off. A digit is written on the line first, where there is one: see held.mjs. Under a danger
// the signs are text: nothing but a digit with Enter answers it.

const OFF = "keys-off";

/** Whether single keys act. */
export function keysAct() {
  return localStorage.getItem(OFF) === null;
}

/** Switches them on or off, for this browser. */
export function letKeysAct(act) {
  if (act) localStorage.removeItem(OFF);
  else localStorage.setItem(OFF, "yes");
}

/**
 * Listens. `does` names what the keys without a box do; `line` gives the line that is written on. `wait`
 * takes what a key does where an answer is on its way, and says whether it did.
 */
export function listen(line, does, wait) {
  document.addEventListener("keydown", (event) => {
    const pen = line();
    const nowhere = document.activeElement === document.body || document.activeElement?.matches("#title, .danger");
    const onLine = pen !== null && document.activeElement === pen;
    const digit = /^[0-9]$/.test(event.key);
    if (event.isComposing || event.altKey) return;
    if (event.repeat) {
      // A digit that is held down is one digit.
      if (digit && onLine && pen.value.length < 2 && keysAct()) event.preventDefault();
      return;
    }
    if (event.ctrlKey || event.metaKey) {
      if (event.key === "z" && onLine && pen.value === "") act(event, does["-"], wait);
      return;
    }
    if (event.key === "Escape") return void act(event, does.Escape, pen?.value === "" ? wait : null);
    if (!onLine && !nowhere) return;
    if (nowhere && pen && !pen.closest("[inert]") && event.key.length === 1) pen.focus({ preventScroll: true });
    if ((pen && !pen.closest("[inert]") && (pen.value !== "" || digit || document.querySelector(".danger[data-standing]"))) || !keysAct()) return;
    // What is on the sheet when its turn comes says what a key does.
    const press = () => {
      const boxes = [...document.querySelectorAll(`[data-key="${CSS.escape(event.key)}"]`)];
      const box = boxes.find((one) => !one.closest("[inert]") && one.tagName === "BUTTON");
      if (box) return () => box.click();
      // A digit whose box is not there was most likely meant for one of those that are: it does nothing.
      // A space first begins a line with it.
      const other = digit && document.querySelector("button[data-key]") && !document.querySelector(".fresh");
      return other ? () => {} : does[event.key];
    };
    if (digit || does[event.key]) {
      if (wait(() => press()?.())) return event.preventDefault();
    }
    act(event, press());
  });
}

function act(event, what, wait = null) {
  if (!what) return;
  event.preventDefault();
  if (!wait?.(what)) what();
}
