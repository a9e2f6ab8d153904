// What the browser tests share: a copy of the demo, a server on it, Debian's Chromium, axe, counting.
//
// Playwright's core drives the browser of the system and downloads none. The packages lie under
// target/browser, where `tools/test browser` installs them.
import { spawn, spawnSync } from "node:child_process";
import { cpSync, existsSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";

export const ROOT = resolve(dirname(fileURLToPath(import.meta.url)), "../..");
const PACKAGES = join(ROOT, "target/browser");
// Looked for at the first need: the load needs no browser.
const packages = () => createRequire(join(PACKAGES, "package.json"));

/** Where screenshots go, to be looked at. */
export const SHOTS = join(ROOT, "target/browser/shots");

/** The program. */
export const BINARY = process.env.FIXTALLY ?? join(ROOT, "target/debug/fixtally");

/** A copy of the demo with its state, removed at the end. */
export function demo() {
  const folder = mkdtempSync(join(tmpdir(), "fixtally-browser-"));
  process.on("exit", () => rmSync(folder, { recursive: true, force: true, maxRetries: 9, retryDelay: 100 }));
  // Made anew for every other program: an older one's state may be of another form.
  const warm = join(ROOT, "target/browser/warm");
  const made = String(statSync(BINARY).mtimeMs);
  if (!existsSync(join(warm, "made-by")) || readFileSync(join(warm, "made-by"), "utf8") !== made) {
    rmSync(warm, { recursive: true, force: true });
    cpSync(join(ROOT, "kb"), join(warm, "kb"), { recursive: true, filter: (path) => !path.includes(".state") });
    const asked = spawnSync(BINARY, ["--kb", join(warm, "kb"), "-q", "ask", "warm"]);
    if (asked.error) throw asked.error;
    writeFileSync(join(warm, "made-by"), made);
  }
  cpSync(join(warm, "kb"), join(folder, "kb"), { recursive: true });
  return join(folder, "kb");
}

/** A server on a knowledge base; `stop` asks it to end, `kill` does not ask. */
export async function serve(kb, { listen = "127.0.0.1:0", more = [] } = {}) {
  const child = spawn(BINARY, ["--kb", kb, "-q", "sheet", "--listen", listen, ...more], { stdio: ["ignore", "pipe", "inherit"] });
  const gone = new Promise((done) => child.on("exit", done));
  process.prependListener("exit", () => child.kill("SIGKILL"));
  const url = await new Promise((done, failed) => {
    let text = "";
    child.stdout.on("data", (bytes) => {
      text += bytes;
      const found = /The sheet is at (\S+)\//.exec(text);
      if (found) done(found[1]);
    });
    gone.then(() => failed(new Error(`the server ended: ${text}`)));
  });
  return {
    url,
    address: url.replace(/^https?:\/\//, ""),
    pid: child.pid,
    kill: () => (child.kill("SIGKILL"), gone),
    stop: () => (child.kill("SIGTERM"), gone),
  };
}

/** The system's browser. */
export function browser() {
  const path = ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"].find(existsSync);
  return packages()("playwright-core").chromium.launch({ executablePath: path, args: ["--no-sandbox", "--disable-gpu"] });
}

/** A page that fails the test on any error of its scripts, and on any request to elsewhere. */
export async function page(of, url, options = {}) {
  const context = await of.newContext({ viewport: { width: 1280, height: 800 }, baseURL: url, ...options });
  const opened = await context.newPage();
  if (process.env.PAGE_FROM_SOURCES) await opened.route("**/page/*", fromSources);
  opened.troubles = [];
  opened.on("pageerror", (error) => opened.troubles.push(String(error)));
  opened.on("request", (request) => {
    const to = new URL(request.url());
    if (!to.href.startsWith(url) && !["data:", "blob:", "about:"].includes(to.protocol)) opened.troubles.push(`request to ${to.href}`);
  });
  return opened;
}

/** The page's files as they lie in the sources: to try a change without building the program anew. */
function fromSources(route) {
  const name = new URL(route.request().url()).pathname.split("/").pop();
  const file = ["src/page", "src/sheet/page"].map((folder) => join(ROOT, folder, name)).find(existsSync);
  return file ? route.fulfill({ path: file }) : route.continue();
}

/** What axe finds wrong, by the rules of WCAG 2.2 A and AA and its best practices. */
export async function axe(opened) {
  // Evaluated by the debugger, so that the page's own policy needs no gap for it.
  await opened.evaluate(readFileSync(packages().resolve("axe-core/axe.min.js"), "utf8"));
  const found = await opened.evaluate(() => globalThis.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }));
  return found.violations.map((one) => `${one.id}: ${one.nodes.map((node) => node.target.join(" ")).join(", ")}`);
}

const results = { passed: 0, failed: 0 };

/** One case of a test. */
export async function test(name, run) {
  const started = Date.now();
  try {
    await run();
    results.passed += 1;
    console.log(`ok    ${name} (${Date.now() - started} ms)`);
  } catch (error) {
    results.failed += 1;
    console.log(`FAIL  ${name}\n${error.stack ?? error}`);
  }
}

/** The last line, which `tools/test` counts. */
export function end(name) {
  console.log(`${name}: ${results.passed} passed, ${results.failed} failed`);
  process.exit(results.failed === 0 ? 0 : 1);
}
