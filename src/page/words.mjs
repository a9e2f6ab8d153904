// Numbers and names as people read them; the same words as the terminal's.

/** A chance: whole percent, and never 0 % or 100 %, which nobody knows. */
export function chance(part) {
  const whole = Math.min(Math.max(part, 1e-9), 1 - 1e-9) * 100;
  if (whole < 1) return "<1 %";
  if (whole > 99) return ">99 %";
  return `${even(whole)} %`;
}

/** Minutes, whole. */
export function minutes(number) {
  return `${Math.max(1, even(number))} min`;
}

// Rounds a half to the even neighbour, as the terminal does.
function even(number) {
  const below = Math.floor(number);
  const rest = number - below;
  if (rest !== 0.5) return Math.round(number);
  return below % 2 === 0 ? below : below + 1;
}

/** How well a fix is proven. */
export function proof(fix) {
  if (fix.basis === "author") return "no cases yet, author's order";
  if (fix.tries === 0) return "never tried yet";
  if (fix.tries === 1) return `fixed ${fix.resolved} of 1 try`;
  return `fixed ${fix.resolved} of ${fix.tries} tries`;
}

/** An answer or a state as it is spoken: `not-known` is "not known". */
export function spoken(name) {
  return String(name).replaceAll("-", " ");
}

/** The part of a full id behind `#`. */
export function short(id) {
  return id.slice(id.lastIndexOf("#") + 1);
}

/** How long ago, from whole minutes. */
export function ago(whole) {
  if (whole < 1) return "just now";
  if (whole < 60) return `${whole} min ago`;
  if (whole < 2 * 1440) return `${Math.round(whole / 60)} h ago`;
  return `${Math.round(whole / 1440)} days ago`;
}

/** A day as it is read: `2026-10-31` is "31 October 2026". */
export function day(date) {
  const at = new Date(`${String(date).slice(0, 10)}T12:00:00Z`);
  if (Number.isNaN(at.getTime())) return String(date);
  return at.toLocaleDateString("en-GB", { day: "numeric", month: "long", year: "numeric", timeZone: "UTC" });
}

/** Sentences in a row, each with its end. */
export function sentences(list) {
  return list.map((text) => (/[.?!…]$/.test(text) ? text : `${text}.`)).join(" ");
}

/** The first letter large. */
export function capital(text) {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
