// What the browser keeps between visits. Where it keeps nothing, the page says so.

const KEY = "fixtally-pack";

/** What was kept: `{ cases, remarks, role, light }`, and whether this browser keeps anything. */
export function load() {
  const empty = { cases: [], remarks: [], role: null, light: "device" };
  try {
    const kept = JSON.parse(localStorage.getItem(KEY) ?? "null");
    localStorage.setItem(KEY, JSON.stringify(kept ?? empty));
    return { kept: { ...empty, ...kept }, keeps: true };
  } catch {
    return { kept: empty, keeps: false };
  }
}

/** Keeps everything; false where it could not be kept. */
export function save(kept) {
  try {
    localStorage.setItem(KEY, JSON.stringify(kept));
    return true;
  } catch {
    return false;
  }
}

/** An id that no other site makes: eight letters and digits, drawn. */
export function drawnId() {
  const letters = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
  const drawn = crypto.getRandomValues(new Uint8Array(10));
  return `S-${Array.from(drawn, (byte) => letters[byte % 32]).join("")}`;
}
