// Answers questions from a pack with the pack's own ranker: `node ask.mjs PACK < questions.jsonl`.
// A question has the keys that tools/measure/ask_many.rs takes with `"whole": true`; one answer a line.

import { readFileSync } from "node:fs";
import { ask } from "../../../src/pack/page/rank/ask.mjs";
import { unpacked } from "../../../src/pack/page/packed.mjs";
import { open } from "../../../src/pack/page/rank/ground.mjs";

const pack = readFileSync(process.argv[2], "utf8");
const [, data] = /<script type="text\/plain" id="content">([^<]*)<\/script>/.exec(pack);
const started = performance.now();
const { content } = await unpacked(data);
const ground = open(content);
const opened = performance.now();
const LIMIT = 12;

const answers = [];
for (const line of readFileSync(0, "utf8").split("\n").filter(Boolean)) {
  const question = JSON.parse(line);
  const asked = {
    words: question.said,
    device: question.device,
    firmware: question.firmware,
    codes: question.codes,
    signs: question.signs,
    seen: question.seen,
    tried: question.tried,
    notDanger: question.not_danger,
    role: question.role,
    by: question.by,
  };
  const from = performance.now();
  const answer = ask(ground, asked, LIMIT);
  answers.push(JSON.stringify({ answer, millis: performance.now() - from }));
}
console.log(answers.join("\n"));
console.error(`opened in ${(opened - started).toFixed(0)} ms`);
