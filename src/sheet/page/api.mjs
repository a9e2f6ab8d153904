// Talking to the server. A write is tried until the server answers; the number of lines that it was
// written on keeps it from being done twice.

/** What the server said against a request. */
export class Refused extends Error {
  constructor(status, body) {
    super(body?.error ?? `the server answered ${status}`);
    this.status = status;
    this.state = body?.state;
  }
}

const WAITS = [300, 600, 1200, 2400, 4800];

async function once(path, { body, signal } = {}) {
  const answer = await fetch(path, {
    method: body === undefined ? "GET" : "POST",
    headers: body === undefined ? {} : { "content-type": "application/json" },
    body: body === undefined ? undefined : JSON.stringify(body),
    signal,
  });
  const text = await answer.text();
  let value = null;
  try {
    value = text ? JSON.parse(text) : null;
  } catch {
    // A proxy's own page: its status says enough.
  }
  if (answer.status === 401) location.reload();
  if (!answer.ok) throw new Refused(answer.status, value);
  return value;
}

/** Whether trying again may help: no answer at all, or a server that is just starting or overrun. */
function passing(error) {
  return !(error instanceof Refused) || [502, 503, 504].includes(error.status);
}

/** A request that is repeated until there is an answer. `waiting` is told whether there is none. */
async function patient(path, options, waiting) {
  for (let nth = 0; ; nth += 1) {
    try {
      const value = await once(path, options);
      if (nth > 0) waiting(false);
      return value;
    } catch (error) {
      if (!passing(error)) {
        if (nth > 0) waiting(false);
        throw error;
      }
      waiting(true);
      await new Promise((done) => setTimeout(done, WAITS[Math.min(nth, WAITS.length - 1)]));
    }
  }
}

const at = (id) => `/api/cases/${encodeURIComponent(id)}`;

/** The requests. `waiting(true)` is called while the server does not answer. */
export function api(waiting) {
  return {
    desk: () => patient("/api/desk", {}, waiting),
    begin: () => patient("/api/cases", { body: {} }, waiting),
    look: (id) => patient(at(id), {}, waiting),
    write: (id, on, version, line) => patient(`${at(id)}/lines`, { body: { on, version, line } }, waiting),
    undo: (id, on) => patient(`${at(id)}/undo`, { body: { on } }, waiting),
    strike: (id, on, line) => patient(`${at(id)}/strike`, { body: { on, line } }, waiting),
    peek: (id, seq, line) => once(`${at(id ?? "new")}/peek`, { body: { seq, line } }),
    similar: (id) => patient(`${at(id)}/similar`, {}, waiting),
    summary: (id) => patient(`${at(id)}/summary`, {}, waiting),
    remark: (about) => patient("/api/remarks", { body: about }, waiting),
    articles: () => patient("/api/articles", {}, waiting),
    article: (id) => patient(`/api/articles/${encodeURIComponent(id)}`, {}, waiting),
    changes: (after, signal) => once(`/api/changes?after=${after}`, { signal }),
  };
}
