// From keystroke to painted answer, in Debian's Chromium, one agent typing fast.
//
//   node tools/measure/sheet_paint.mjs [--kb DIR] [--keys 300]
//
// The page itself is timed: from the `input` event to the second animation frame after the answer to that very
// keystroke was drawn, when it is on the screen. Printed are p50, p95 and p99.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { browser, demo, page, ROOT, serve } from "../browser/desk.mjs";

const { values } = parseArgs({ options: { kb: { type: "string" }, keys: { type: "string", default: "300" } } });
const sayings = readFileSync(join(ROOT, "kb/tickets/2026-q1.jsonl"), "utf8").trim().split("\n").map((text) => JSON.parse(text).said).filter(Boolean);

const server = await serve(values.kb ?? demo());
const of = await browser();
const on = await page(of, server.url);
await on.goto("/");
await on.waitForSelector("#pen");
await on.evaluate(() => {
  globalThis.took = [];
  let typed = null;
  document.querySelector("#pen").addEventListener("input", () => (typed = performance.now()), true);
  new MutationObserver(() => {
    if (typed === null || !document.querySelector(".sheet.writing .fix, .sheet.writing .danger")) return;
    const since = typed;
    typed = null;
    requestAnimationFrame(() => requestAnimationFrame(() => globalThis.took.push(performance.now() - since)));
  }).observe(document.querySelector("#sheet"), { childList: true });
});
let typed = 0;
for (const saying of sayings) {
  for (const letter of saying) {
    await on.keyboard.type(letter);
    await on.waitForTimeout(120);
    typed += 1;
  }
  await on.keyboard.press("Escape");
  if (typed >= Number(values.keys)) break;
}
const took = (await on.evaluate(() => globalThis.took)).sort((a, b) => a - b);
const at = (part) => took[Math.min(took.length - 1, Math.floor(took.length * part))].toFixed(1);
console.log(`keystroke to paint: ${took.length} of ${typed}; p50 ${at(0.5)} ms, p95 ${at(0.95)} ms, p99 ${at(0.99)} ms`);
await of.close();
await server.stop();
process.exit(0);
