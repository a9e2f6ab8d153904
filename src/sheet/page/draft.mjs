// What is on the pen's line and not yet said outlives a reload, for each case.

const nameOf = (of) => `draft:${of ?? "new"}`;

/** What was being written on a case; on none for a fresh sheet. */
export function drafted(of) {
  return localStorage.getItem(nameOf(of)) ?? "";
}

/** Keeps what is being written. */
export function keepDraft(of, text) {
  if (text === "") localStorage.removeItem(nameOf(of));
  else localStorage.setItem(nameOf(of), text);
}

/** What was written is said: neither this case nor a fresh sheet has a draft. */
export function dropDraft(of) {
  localStorage.removeItem(nameOf(of));
  localStorage.removeItem(nameOf(null));
}
