// The month's page in a real browser: nothing from elsewhere, no line beyond the window, axe without a
// finding, in light and dark, wide, at 360 pixels and on paper; with a screenshot of each to look at.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdirSync } from "node:fs";
import { dirname, join } from "node:path";
import { pathToFileURL } from "node:url";
import { axe, BINARY, browser, demo, end, page, SHOTS, test } from "./desk.mjs";

const kb = demo();
const folder = dirname(kb);
mkdirSync(SHOTS, { recursive: true });

/** Runs a command on the demo. */
function fixtally(...args) {
  const ran = spawnSync(BINARY, ["-q", "--kb", kb, ...args], { encoding: "utf8" });
  assert.ok(ran.status === 0, `${args.join(" ")}: ${ran.stderr}`);
}

const PAGES = { month: join(folder, "month.html"), empty: join(folder, "empty.html") };
fixtally("month", "2026-10", "-o", PAGES.month, ...(process.env.QUICK ? [] : ["--backtest"]));
fixtally("month", "2023-01", "-o", PAGES.empty);
const of = await browser();

for (const [name, file] of Object.entries(PAGES)) {
  const url = pathToFileURL(file).href;
  for (const colorScheme of ["light", "dark"]) {
    for (const width of [1280, 360]) {
      await test(`${name} in ${colorScheme} at ${width} pixels`, async () => {
        const on = await page(of, url, { viewport: { width, height: 800 }, colorScheme, offline: true });
        await on.goto(url);
        await on.screenshot({ path: join(SHOTS, `month-${name}-${colorScheme}-${width}.png`), fullPage: true });
        assert.deepEqual(await axe(on), []);
        const beyond = await on.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
        assert.equal(beyond, 0, "the page is wider than the window");
        assert.deepEqual(on.troubles, []);
        await on.context().close();
      });
    }
  }
  await test(`${name} on paper`, async () => {
    const on = await page(of, url, { colorScheme: "dark" });
    await on.goto(url);
    await on.emulateMedia({ media: "print" });
    await on.pdf({ path: join(SHOTS, `month-${name}.pdf`), format: "A4", margin: { top: "15mm", bottom: "15mm", left: "15mm", right: "15mm" } });
    // As wide as A4 between its margins, at 96 dots an inch.
    await on.setViewportSize({ width: 680, height: 1000 });
    await on.screenshot({ path: join(SHOTS, `month-${name}-paper.png`), fullPage: true });
    assert.deepEqual(await axe(on), []);
    const paper = await on.evaluate(() => getComputedStyle(document.body).backgroundColor);
    assert.equal(paper, "rgb(255, 255, 255)", "dark ink is for the screen alone");
    await on.context().close();
  });
}

await of.close();
end("month");
