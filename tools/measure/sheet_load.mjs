// Agents that type at the sheet all at once, from a process of their own.
//
//   node tools/measure/sheet_load.mjs [--agents 64] [--seconds 60] [--rate 5] [--kb DIR]
//
// Each agent types sayings of the demo's tickets, one letter after the other at the rate asked for, and
// asks for the answer to each keystroke without waiting for the one before. Printed are the latencies seen
// here, the server's own from its histogram, errors, and the server's memory over time; then the same
// load on a bare axum handler that answers a constant of the same size (`cargo run --release --example
// bare_sheet`), which is what the network, this process and axum cost alone. Figures are read, not asserted.
import { spawn } from "node:child_process";
import { readFileSync } from "node:fs";
import http from "node:http";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { demo, ROOT, serve } from "../browser/desk.mjs";

const { values } = parseArgs({
  options: { agents: { type: "string", default: "64" }, seconds: { type: "string", default: "60" }, rate: { type: "string", default: "5" }, kb: { type: "string" } },
});
const [AGENTS, SECONDS, RATE] = [values.agents, values.seconds, values.rate].map(Number);
const SAYINGS = readFileSync(join(ROOT, "kb/tickets/2026-q1.jsonl"), "utf8")
  .trim()
  .split("\n")
  .map((text) => JSON.parse(text).said)
  .filter(Boolean);

const agent = new http.Agent({ keepAlive: true, maxSockets: 512 });

/** One request: its latency in milliseconds, and the size of the answer. */
function post(url, body) {
  const started = performance.now();
  return new Promise((done) => {
    const request = http.request(url, { method: "POST", agent, headers: { "content-type": "application/json" } }, (answer) => {
      let size = 0;
      answer.on("data", (bytes) => (size += bytes.length));
      answer.on("end", () => done({ ms: performance.now() - started, status: answer.statusCode, size }));
    });
    request.on("error", () => done({ ms: performance.now() - started, status: 0, size: 0 }));
    request.end(JSON.stringify(body));
  });
}

async function load(url, memory) {
  const seen = [];
  const waiting = [];
  let sequence = 0;
  const typing = Array.from({ length: AGENTS }, async (_, who) => {
    let at = who * 37;
    await new Promise((done) => setTimeout(done, (who * 1000) / RATE / AGENTS));
    const until = Date.now() + SECONDS * 1000;
    while (Date.now() < until) {
      const saying = SAYINGS[at % SAYINGS.length];
      at += 1;
      for (let end = 1; end <= saying.length && Date.now() < until; end += 1) {
        sequence += 1;
        waiting.push(post(url, { seq: sequence, line: saying.slice(0, end) }).then((one) => seen.push(one)));
        await new Promise((done) => setTimeout(done, 1000 / RATE));
      }
    }
  });
  const sizes = [];
  const watch = setInterval(() => sizes.push(memory()), 5000);
  await Promise.all(typing);
  await Promise.all(waiting);
  clearInterval(watch);
  return { seen, sizes };
}

function told(name, { seen, sizes }) {
  const sorted = seen.map((one) => one.ms).sort((a, b) => a - b);
  const at = (part) => sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * part))]?.toFixed(1);
  const wrong = seen.filter((one) => one.status !== 200).length;
  console.log(`${name}: ${seen.length} keystrokes, ${wrong} errors; here p50 ${at(0.5)} ms, p95 ${at(0.95)} ms, p99 ${at(0.99)} ms; memory ${sizes.map((kb) => Math.round(kb / 1024)).join(" ")} MB`);
}

/** The p50, p95 and p99 of a route by the server's own histogram, as the ends of their buckets. */
async function histogram(url, route) {
  const text = await (await fetch(`${url}/metrics`)).text();
  const lines = text.split("\n").filter((line) => line.startsWith(`fixtally_request_seconds_bucket{route="${route}"`));
  const buckets = lines.map((line) => [/le="([^"]+)"/.exec(line)[1], Number(line.split(" ").pop())]);
  const all = buckets.at(-1)[1];
  const end = (part) => buckets.find(([, count]) => count >= all * part)[0];
  return `server side p50 <= ${end(0.5)} s, p95 <= ${end(0.95)} s, p99 <= ${end(0.99)} s`;
}

const resident = (pid) => () => Number(/VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, "utf8"))?.[1] ?? 0);

const server = await serve(values.kb ?? demo());
const warm = await post(`${server.url}/api/cases/new/peek`, { seq: 0, line: SAYINGS[0] });
told("sheet", await load(`${server.url}/api/cases/new/peek`, resident(server.pid)));
console.log(await histogram(server.url, "/api/cases/{case}/peek"));
await server.stop();

const bare = spawn(process.env.BARE ?? join(ROOT, "target/release/examples/bare_sheet"), [String(warm.size)], { stdio: ["ignore", "pipe", "inherit"] });
const url = await new Promise((done) => bare.stdout.once("data", (bytes) => done(String(bytes).trim())));
told(`bare axum, ${warm.size} bytes`, await load(url, resident(bare.pid)));
bare.kill();
process.exit(0);
