// What the page says of its age and of tries.

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
