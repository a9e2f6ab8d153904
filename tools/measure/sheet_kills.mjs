// Clients that close cases while the server is killed again and again: what was acknowledged must be in the
// ledger once.
//
//   node tools/measure/sheet_kills.mjs [--clients 8] [--cases 2000] [--kills 10]
//
// A client that gets no answer asks again until it does; the number of lines it wrote on keeps a line
// from being done twice. Ends in `sheet_kills: N passed, N failed`.
import { spawnSync } from "node:child_process";
import { parseArgs } from "node:util";
import { BINARY, demo, serve } from "../browser/desk.mjs";

const { values } = parseArgs({ options: { clients: { type: "string", default: "8" }, cases: { type: "string", default: "2000" }, kills: { type: "string", default: "10" } } });
const [CLIENTS, CASES, KILLS] = [values.clients, values.cases, values.kills].map(Number);
const SAID = ["breaker goes off as soon as the car is plugged in", "display dark after rain", "card is refused", "cable stuck in the socket"];

const kb = demo();
let server = await serve(kb);
const { url, address } = server;
let begun = 0;
const acknowledged = [];
let repeated = 0;

/** Asks until there is an answer. */
async function ask(path, body) {
  for (;;) {
    try {
      const answer = await fetch(url + path, body === undefined ? {} : { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(body) });
      return { status: answer.status, value: await answer.json() };
    } catch {
      repeated += 1;
      await new Promise((done) => setTimeout(done, 50));
    }
  }
}

async function client() {
  while (begun < CASES) {
    const nth = (begun += 1);
    const { case: id } = (await ask("/api/cases", {})).value;
    const lines = [`${SAID[nth % SAID.length]}, ref K${nth}`, nth % 3 === 0 ? "something else fixed it" : "fixed 1"];
    let state = { on: 0 };
    const write = async (line) => {
      const written = await ask(`/api/cases/${id}/lines`, { on: state.on, line });
      // Written already, and only the answer was lost: the case as it is comes with the refusal.
      state = written.status === 409 ? written.value.state : written.value;
    };
    for (const line of lines) await write(line);
    if (!state.closed && state.closing) await write("not sure");
    // Killed after the last line was kept and before its ticket was.
    if (!state.closed) await write("close");
    if (state.closed) acknowledged.push({ ticket: state.closed.ticket, ref: `K${nth}` });
    else console.log(`not closed: ${id} ${JSON.stringify(state).slice(0, 300)}`);
  }
}

async function killer() {
  for (let nth = 1; nth <= KILLS; nth += 1) {
    while (acknowledged.length < (CASES * nth) / (KILLS + 1)) await new Promise((done) => setTimeout(done, 20));
    await server.kill();
    server = await serve(kb, { listen: address });
  }
}

const started = Date.now();
await Promise.all([killer(), ...Array.from({ length: CLIENTS }, client)]);
const seconds = (Date.now() - started) / 1000;
await server.stop();
const exported = spawnSync(BINARY, ["--kb", kb, "-q", "tickets", "export"], { encoding: "utf8", maxBuffer: 1 << 30 }).stdout;
const tickets = exported.trim().split("\n").map((text) => JSON.parse(text));
const times = (key, name) => {
  const counts = new Map();
  for (const ticket of tickets) if (ticket[key]) counts.set(ticket[key], (counts.get(ticket[key]) ?? 0) + 1);
  return (one) => counts.get(one[name]) ?? 0;
};
const [byId, byRef] = [times("id", "ticket"), times("ref", "ref")];
const lost = acknowledged.filter((one) => byId(one) !== 1);
const twice = acknowledged.filter((one) => byRef(one) !== 1);
console.log(`${acknowledged.length} cases acknowledged in ${seconds.toFixed(0)} s, ${repeated} requests asked again, ${KILLS} kills; ${lost.length} not in the ledger once, ${twice.length} refs not once`);
const bad = (acknowledged.length === CASES ? 0 : 1) + (lost.length ? 1 : 0) + (twice.length ? 1 : 0);
console.log(`sheet_kills: ${3 - bad} passed, ${bad} failed`);
process.exit(bad ? 1 : 0);
