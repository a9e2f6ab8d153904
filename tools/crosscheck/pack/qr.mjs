// Makes QR codes with the page's own code: one JSON text a line in, one list of rows a line out, each
// row a text of 0 and 1; `null` for what is too long.

import { readFileSync } from "node:fs";
import { qrCode } from "../../../src/pack/page/qr.mjs";

for (const line of readFileSync(0, "utf8").split("\n").filter(Boolean)) {
  const modules = qrCode(JSON.parse(line));
  console.log(JSON.stringify(modules && modules.map((row) => row.map(Number).join(""))));
}
