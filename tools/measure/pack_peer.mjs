// A pack beside a plain search index of the same articles: how large, how fast to open, how fast to ask.
//
// `node tools/measure/pack_peer.mjs PACK.html`. The peer is MiniSearch (npm), which searches and does not
// rank fixes by tickets; it is installed under target/peer. Both run in Node, one after the other, and
// each number is the best of a few runs, so that other work on the machine matters little.

import { execFileSync } from "node:child_process";
import { existsSync, mkdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";
import { ask } from "../../src/pack/page/rank/ask.mjs";
import { bytesOf, unpacked } from "../../src/pack/page/packed.mjs";
import { open } from "../../src/pack/page/rank/ground.mjs";

const PEER = "minisearch@7.2.0";
const RUNS = 7;
const WORDS = "breaker trips as soon as the car is plugged in when it rains";

const root = resolve(dirname(fileURLToPath(import.meta.url)), "../..");
const place = join(root, "target/peer");
if (!existsSync(join(place, "node_modules/minisearch"))) {
  mkdirSync(place, { recursive: true });
  execFileSync("npm", ["install", "--silent", "--no-save", "--prefix", place, PEER]);
}
const loaded = createRequire(join(place, "x.js"))("minisearch");
const MiniSearch = loaded.default ?? loaded;

const pack = readFileSync(process.argv[2], "utf8");
const [, carried] = /id="content">([^<]*)</.exec(pack);
const { content, reading } = await unpacked(carried);
const texts = reading().split("<article ").slice(1).map((html, id) => ({ id, text: html.split("</article>")[0].replace(/<img[^>]*>/g, "").replace(/<[^>]*>/g, " ").trim() }));

const options = { fields: ["text"], searchOptions: { prefix: true, fuzzy: 0.2 } };
const index = new MiniSearch(options);
index.addAll(texts);
const saved = JSON.stringify(index);

const best = (run) => Math.min(...Array.from({ length: RUNS }, () => {
  const from = performance.now();
  run();
  return performance.now() - from;
}));
const keystrokes = (run) => {
  for (let end = 3; end <= WORDS.length; end++) {
    run(WORDS.slice(0, end));
  }
};
// Much is made when it is first asked for; here all of it is.
const whole = () => {
  const ground = open(content);
  return [ground, ground.learned, ground.stopWords, ...Object.values(ground.families)];
};
const [ground] = whole();
const peer = MiniSearch.loadJSON(saved, options);
const strokes = WORDS.length - 2;
const rows = [
  ["KB, compressed", bytesOf(carried).length / 1024, gzipSync(saved, { level: 9 }).length / 1024],
  ["ms to open", best(whole), best(() => MiniSearch.loadJSON(saved, options))],
  ["ms a keystroke", best(() => keystrokes((words) => ask(ground, { words, by: "time" }))) / strokes, best(() => keystrokes((words) => peer.search(words))) / strokes],
];
console.log(`${texts.length} articles\n${"".padEnd(16)}${"pack".padStart(9)}${"plain".padStart(9)}${"ratio".padStart(8)}`);
for (const [what, ours, theirs] of rows) {
  console.log(`${what.padEnd(16)}${ours.toFixed(1).padStart(9)}${theirs.toFixed(1).padStart(9)}${(ours / theirs).toFixed(1).padStart(8)}`);
}
