// Numbers and names as people read them; the same words as the terminal's.

/** A chance in whole percent, never 0 % or 100 %: nobody knows that. */
export function percent(part) {
  const whole = part * 100;
  return whole < 1 ? "<1 %" : whole > 99 ? ">99 %" : `${Math.round(whole)} %`;
}

/** Whole minutes, at least one. */
export function minutes(number) {
  return `${Math.max(1, Math.round(number))} min`;
}

/** How well a fix is proven. */
export function proof({ basis, resolved, tries }) {
  if (basis === "author") {
    return "no cases yet, author's order";
  }
  if (tries === 0) {
    return "never tried yet";
  }
  return `fixed ${resolved} of ${tries} ${tries === 1 ? "try" : "tries"}`;
}

/** A name as it is spoken: `not-known` is "not known". */
export function spoken(name) {
  return name.replaceAll("-", " ");
}

/** A day such as `2026-10-31` as it is read. */
export function dayInWords(day) {
  const [year, month, date] = day.split("-").map(Number);
  const names = "January February March April May June July August September October November December";
  return `${date} ${names.split(" ")[month - 1]} ${year}`;
}

const OLD_AFTER_DAYS = 60;

/** What to say of a pack's age; null while it is young. `now` is a time in milliseconds. */
export function ageNotice(day, now) {
  const days = Math.floor((now - Date.parse(`${day}T00:00:00Z`)) / 86_400_000);
  if (!(days > OLD_AFTER_DAYS)) {
    return null;
  }
  return `This pack is ${days} days old. Ask the desk for a new one: articles may have changed since.`;
}

/** The words of one try. */
export function resultInWords(result) {
  return { resolved: "ended it", "no-change": "no change", "not-possible": "could not be done" }[result];
}
