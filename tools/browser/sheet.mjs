// The sheet in a real browser: by keyboard alone, by touch, two agents, reloads, a killed server, hostile
// articles; then every view looked at by axe in light and dark, with a screenshot of each.
import assert from "node:assert/strict";
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { axe, browser, demo, end, page, serve, SHOTS, test } from "./desk.mjs";

const TRIPS = "breaker goes off as soon as the car is plugged in";
const kb = demo();
writeFileSync(
  join(kb, "articles/power/hostile.md"),
  `---
id: hostile
title: <img src=x onerror=alert(1)> purple
symptoms:
  - purple smoke signals from the mast
---
<script>window.hurt = 1</script>

<img src=x onerror="window.hurt = 1"> [here](javascript:window.hurt=1) ![drawing](img/hostile.svg)

## Fix: Turn <b>it</b> off {#off kind=restart minutes=5 who=caller}
1. <svg onload="window.hurt = 1"></svg> Off.

Done when: it is off.
`,
);
writeFileSync(join(kb, "articles/power/img/hostile.svg"), `<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9" onload="window.hurt=1"><script>window.hurt=1</script></svg>`);

let server = await serve(kb);
const of = await browser();
mkdirSync(SHOTS, { recursive: true });

const said = (on, number) => on.waitForFunction((wanted) => document.querySelectorAll(".sentence .said").length >= wanted, number);
const line = async (on, text) => {
  const lines = await on.locator(".sentence .said").count();
  await on.keyboard.type(text);
  await on.keyboard.press("Enter");
  await said(on, lines + 1);
};

// A digit that acts at once.
const key = async (on, digit) => {
  await on.keyboard.press(digit);
  await on.keyboard.press("Enter");
};

await test("a case from the first word to the ticket by keyboard alone", async () => {
  const on = await page(of, server.url);
  await on.goto("/");
  await on.waitForSelector("#pen:focus");
  await on.keyboard.type(TRIPS, { delay: 5 });
  await on.waitForSelector(".writing .fix");
  await on.keyboard.press("Enter");
  await said(on, 1);
  await line(on, "post-22, K31");
  // A question stands there before the fix is picked: only another one comes of the pick.
  const question = () => on.evaluate(() => document.querySelector(".ask-row .question")?.textContent ?? null);
  const before = await question();
  await on.keyboard.press("1");
  await on.waitForFunction((old) => document.querySelector(".shown") || (document.querySelector(".ask-row .question")?.textContent ?? old) !== old, before);
  if (await on.locator(".shown").count() === 0) {
    await on.keyboard.press("4");
    await on.waitForSelector(".shown");
  }
  await on.keyboard.press("5");
  await on.waitForSelector(".tried-row .said");
  // Taken back, and tried again.
  await on.keyboard.press("-");
  await on.waitForSelector(".tried-row", { state: "detached" });
  // What ends a case waits for Enter; written on, it is text.
  await on.keyboard.press("4");
  await on.waitForSelector(".tick.held");
  await on.waitForTimeout(900);
  assert.equal(await on.locator(".stamp.done").count(), 0);
  assert.match(await on.locator("#pen-hint").textContent(), /Enter: “fixed”/);
  await on.keyboard.press("Enter");
  await on.waitForSelector(".stamp.done");
  assert.match(await on.locator(".summary pre").textContent(), /resolved by /);
  await on.keyboard.press("1");
  await on.waitForSelector(".fresh #pen:focus");
  assert.deepEqual(on.troubles, []);
});

await test("the same at 360 pixels by touch", async () => {
  const on = await page(of, server.url, { viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true });
  await on.goto("/");
  await on.tap("#pen");
  await on.fill("#pen", TRIPS);
  await on.press("#pen", "Enter");
  await said(on, 1);
  await on.tap(".front-row .tick");
  await on.tap("text=Post 22");
  await on.waitForSelector(".front-row .states");
  await on.selectOption("select[name=status-lamp]", "red-slow");
  await said(on, 3);
  await Promise.all([on.waitForResponse("**/lines"), on.tap(".fix button.tick")]);
  await on.waitForTimeout(100);
  await on.waitForSelector(".shown, .ask-row .question");
  if ((await on.locator(".shown").count()) > 0) {
    await on.tap(".do-row .answers .tick >> nth=1");
    await on.waitForSelector(".tried-row .said");
  }
  await on.tap(".end-row .tick");
  await on.tap("text=hand on to whoever goes there");
  await on.waitForSelector(".end-row .summary");
  await on.tap("text=not sure");
  await on.waitForSelector(".stamp.done");
  const wide = await on.evaluate(() => document.documentElement.scrollWidth);
  assert.ok(wide <= 360, `${wide} pixels wide`);
  assert.deepEqual(on.troubles, []);
});

// Answers that take a while, as over a slow line.
const slowly = (on, ms) => on.route("**/api/cases/*/lines", async (route) => {
  await new Promise((done) => setTimeout(done, ms));
  await route.continue();
});

await test("what is typed while an answer is on its way waits its turn, in order", async () => {
  const on = await page(of, server.url);
  await on.goto("/");
  await on.waitForSelector("#pen:focus");
  await slowly(on, 400);
  await on.keyboard.type("display stays dark");
  await on.keyboard.press("Enter");
  await on.keyboard.type("since the storm");
  await on.keyboard.press("Enter");
  await on.keyboard.type("no lamp at all");
  await on.keyboard.press("Enter");
  await on.keyboard.type("half a");
  await said(on, 3);
  const lines = await on.locator(".sentence .said").allTextContents();
  assert.deepEqual(lines.map((one) => one.replace(/\.$/, "").toLowerCase()), ["display stays dark", "since the storm", "no lamp at all"]);
  assert.equal(await on.inputValue("#pen"), "half a");
  // A key after a line does not overtake it, and is no letter of the next one.
  await on.fill("#pen", "post-7");
  await on.keyboard.press("Enter");
  await on.keyboard.press("-");
  await on.waitForFunction(() => document.querySelector(".front-row")?.textContent.includes("Post 7"));
  await on.waitForFunction(() => !document.querySelector(".front-row").textContent.includes("Post 7"));
  assert.equal(await on.locator(".sentence .said").count(), 3);
  assert.deepEqual(on.troubles, []);
});

await test("a key pressed before a danger came up does not answer it", async () => {
  const on = await page(of, server.url);
  await on.goto("/");
  await on.waitForSelector("#pen:focus");
  await slowly(on, 400);
  await on.keyboard.type("there is a burning smell");
  await on.keyboard.press("Enter");
  await on.keyboard.press("4");
  await on.waitForSelector(".danger[data-standing]");
  await on.waitForTimeout(900);
  assert.equal(await on.locator(".danger[data-standing]").count(), 1);
  await on.keyboard.type(" people, and smoke");
  await on.waitForTimeout(300);
  assert.equal(await on.inputValue("#pen"), "4 people, and smoke");
  // Enter that was pressed before it came does not answer it either.
  await on.keyboard.press("Escape");
  await on.keyboard.press("Escape");
  await on.waitForSelector(".fresh #pen:focus");
  await on.keyboard.type("there is a burning smell");
  for (const key of ["Enter", "4", "Enter"]) await on.keyboard.press(key);
  await on.waitForSelector(".danger[data-standing]");
  await on.waitForSelector(".notice:text('not taken')");
  await on.waitForTimeout(900);
  assert.equal(await on.locator(".danger[data-standing]").count(), 1);
  assert.equal(await on.inputValue("#pen"), "4");
  assert.deepEqual(on.troubles, []);
});

await test("a closed case says which personal data were taken out", async () => {
  const on = await page(of, server.url);
  await on.goto("/");
  await on.waitForSelector("#pen:focus");
  await line(on, "display stays dark, call back on 0151 5550 1234");
  await key(on, "0");
  await on.waitForSelector(".end-row .tick[data-key='3']");
  await key(on, "3");
  await on.waitForSelector(".stamp.done, .end-row .question");
  if (await on.locator(".stamp.done").count() === 0) {
    await key(on, "5");
    await on.waitForSelector(".stamp.done");
  }
  assert.match(await on.locator(".taken-out").textContent(), /1 telephone number/);
});

await test("struck through, put back, undone", async () => {
  const on = await page(of, server.url);
  await on.goto("/");
  await on.waitForSelector("#pen:focus");
  await line(on, TRIPS);
  await line(on, "only when it rains");
  await on.click(".sentence .said >> nth=1");
  await on.waitForSelector(".said.struck");
  await on.keyboard.press("-");
  await on.waitForSelector(".said.struck", { state: "detached" });
  assert.equal(await on.locator(".sentence .said").count(), 2);
});

await test("a reload keeps the case and what stands on the line", async () => {
  const on = await page(of, server.url);
  await on.goto("/");
  await on.waitForSelector("#pen:focus");
  await line(on, TRIPS);
  await on.keyboard.type("half a sent");
  await on.reload();
  await said(on, 1);
  assert.equal(await on.inputValue("#pen"), "half a sent");
});

await test("two agents at once, each with a sheet, and a pile for both", async () => {
  const one = await page(of, server.url);
  const two = await page(of, server.url);
  for (const on of [one, two]) {
    await on.goto("/");
    await on.waitForSelector("#pen:focus");
  }
  await line(one, "first caller: display dark");
  await line(two, "second caller: cable stuck in the socket");
  assert.notEqual(one.url(), two.url());
  // One lays the sheet aside; the other brings it up by its digit.
  const path = new URL(one.url()).pathname;
  await one.keyboard.press("Escape");
  await one.waitForSelector(".pile");
  await two.keyboard.press("Escape");
  const found = two.locator(".pile button", { hasText: "first caller" });
  await found.waitFor();
  // A pile that changes under the finger would make the key wait for Enter.
  await two.locator(".pile button", { hasText: "second caller" }).waitFor();
  await two.keyboard.press(await found.getAttribute("data-key"));
  await two.waitForURL(`**${path}`);
  // Both write on it: the second sees what the first wrote before anything is done twice.
  await one.goto(path);
  await said(one, 1);
  await line(one, "no lamp at all");
  await two.waitForSelector("#pen");
  await two.fill("#pen", "K21");
  await two.press("#pen", "Enter");
  await two.waitForSelector(".notice");
  await said(two, 2);
});

await test("a danger covers the sheet until it is answered", async () => {
  const on = await page(of, server.url);
  await on.goto("/");
  await on.waitForSelector("#pen:focus");
  await on.keyboard.type("there is a burning smell");
  await on.waitForSelector(".danger .stamp");
  await on.keyboard.press("Enter");
  await on.waitForSelector(".danger[data-standing]");
  assert.equal(await on.locator(".fix").count(), 0);
  // What the caller says is still written down, whatever it begins with.
  await line(on, "house number 4, smoke everywhere");
  await line(on, "4 people stand near it, he will ask them");
  await on.waitForSelector(".danger[data-standing]");
  await on.keyboard.press("-");
  await on.keyboard.press("4");
  await on.waitForTimeout(900);
  assert.equal(await on.locator(".danger").count(), 1);
  assert.equal(await on.locator(".sentence .said").count(), 3);
  await on.fill("#pen", "");
  await on.keyboard.press("4");
  await on.waitForTimeout(900);
  assert.equal(await on.locator(".danger[data-standing]").count(), 1);
  await on.keyboard.press("Enter");
  await on.waitForSelector(".danger", { state: "detached" });
  await on.waitForSelector(".fix");
  // Told anew it stops anew.
  await on.keyboard.type("now there is a burning smell and thick smoke again");
  await on.waitForSelector(".danger");
  await on.keyboard.press("Enter");
  await on.waitForSelector(".danger[data-standing]");
  // Handed on, the question before the end stands above it.
  await key(on, "0");
  await on.waitForSelector(".end-row .question");
  assert.equal(await on.locator(".danger").count(), 1);
  await key(on, "1");
  await on.waitForSelector(".stamp.done");
  assert.deepEqual(on.troubles, []);
});

await test("a digit with words behind it is text", async () => {
  const on = await page(of, server.url);
  await on.goto("/");
  await on.waitForSelector("#pen:focus");
  await line(on, "my card does nothing");
  await line(on, "63 A fuse, post is two years old");
  assert.match(await on.locator(".sentence").textContent(), /63 A fuse/);
  const fix = on.locator(".fix button.tick").first();
  await on.keyboard.press(await fix.getAttribute("data-key"));
  await on.waitForSelector(".shown, .ask-row .because");
  const lines = await on.locator(".said").count();
  await on.keyboard.type("4 minutes later still stuck", { delay: 60 });
  await on.keyboard.press("Enter");
  await said(on, 3);
  assert.equal(await on.locator(".said").count(), lines + 1);
  assert.equal(await on.locator(".stamp.done").count(), 0);
  assert.deepEqual(on.troubles, []);
});

await test("a danger to make sure of stays in sight and can be said to be so", async () => {
  const on = await page(of, server.url);
  await on.goto("/");
  await on.waitForSelector("#pen:focus");
  await line(on, "my card does nothing, no burning smell");
  await on.waitForSelector(".ask-first");
  // One that no check must come before: its steps are shown at once.
  const fix = on.locator(".fix:not(:has-text('First:')) button.tick").first();
  await on.keyboard.press(await fix.getAttribute("data-key"));
  await on.waitForSelector(".shown");
  const above = await on.evaluate(() => document.querySelector(".ask-first").getBoundingClientRect().top < document.querySelector(".shown").getBoundingClientRect().top);
  assert.ok(above);
  await on.keyboard.press("7");
  await on.waitForSelector(".danger[data-standing]");
  await key(on, "4");
  await on.waitForSelector(".danger", { state: "detached" });
  assert.equal(await on.locator(".ask-first").count(), 0);
  assert.deepEqual(on.troubles, []);
});

await test("a very long word fits a narrow page", async () => {
  const on = await page(of, server.url, { viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true });
  await on.goto("/");
  await on.tap("#pen");
  for (const text of [`${"display".repeat(100)} stays dark`, `smoke${"e".repeat(500)} and a burning smell`]) {
    await on.fill("#pen", text);
    await on.press("#pen", "Enter");
    await on.waitForFunction(() => document.querySelector("#pen").value === "");
    await on.waitForTimeout(300);
    const wide = await on.evaluate(() => document.documentElement.scrollWidth);
    assert.ok(wide <= 360, `${wide} pixels wide`);
  }
});

await test("the server killed and started again in the middle", async () => {
  const on = await page(of, server.url);
  await on.goto("/");
  await on.waitForSelector("#pen:focus");
  await line(on, TRIPS);
  const listen = server.address;
  await server.kill();
  await on.keyboard.type("only in the rain");
  await on.keyboard.press("Enter");
  await on.waitForSelector(".notice");
  server = await serve(kb, { listen });
  await said(on, 2);
  await on.waitForSelector(".notice", { state: "detached" });
});

await test("a hostile article hurts nobody", async () => {
  const on = await page(of, server.url);
  await on.goto("/articles/hostile");
  await on.waitForSelector("h1.title");
  assert.match(await on.locator("h1.title").textContent(), /<img src=x/);
  for (const link of await on.locator(".text a").all()) {
    assert.doesNotMatch((await link.getAttribute("href")) ?? "", /script/);
  }
  await on.waitForTimeout(300);
  assert.equal(await on.evaluate(() => window.hurt), undefined);
  await on.goto("/pictures/articles/power/img/hostile.svg");
  assert.equal(await on.evaluate(() => window.hurt), undefined);
});

await test("a remark is left on a step, and an edited article shows by itself", async () => {
  const on = await page(of, server.url);
  await on.goto("/articles/rcd-trips-on-plug-in");
  await on.click(".piece .wrong >> nth=-1");
  await on.fill("#remark", "the figure is out of date");
  await on.keyboard.press("Enter");
  await on.waitForSelector("text=/Remark \\d+ is left/");
  const file = join(kb, "articles/protection/rcd-trips-on-plug-in.md");
  const text = readFileSync(file, "utf8");
  const written = Date.now();
  writeFileSync(file, text.replace(/^title: .*$/m, "title: An unheard-of title"));
  await on.waitForSelector("h1:text('An unheard-of title')");
  console.log(`      shown ${Date.now() - written} ms after it was written`);
  writeFileSync(file, text);
});

async function views(on, shot) {
  await on.goto("/");
  await on.waitForSelector("#pen");
  await shot("fresh");
  await on.fill("#pen", TRIPS);
  await on.waitForSelector(".writing .fix");
  await shot("typing");
  await on.press("#pen", "Enter");
  await said(on, 1);
  await on.fill("#pen", "post-22, K31, status lamp red slow");
  await on.press("#pen", "Enter");
  await said(on, 2);
  await shot("case");
  await on.click(".front-row .tick");
  await on.waitForSelector(".states");
  await shot("front");
  await on.click(".front-row .tick");
  await on.click(".fix button.tick >> nth=1");
  await on.waitForSelector(".shown, .ask-row .question");
  await shot("taken-up");
  await on.click("text=turn over");
  await on.waitForSelector(".back .row");
  await shot("back");
  await on.click("text=turn the sheet back");
  await on.click("text=all keys");
  await on.waitForSelector(".legend");
  await shot("keys");
  await on.click(".keys-row .tick");
  await on.click(".end-row .tick");
  await on.click("text=hand on to whoever goes there");
  await on.waitForSelector(".end-row .summary");
  await shot("ending");
  await on.click("text=not sure");
  await on.waitForSelector(".summary-row pre");
  await shot("closed");
  await on.goto("/");
  await on.fill("#pen", "there is a burning smell");
  await on.press("#pen", "Enter");
  await on.waitForSelector(".danger[data-standing]");
  await shot("danger");
  await on.goto("/articles/rcd-trips-on-plug-in");
  await on.waitForSelector(".piece");
  await shot("article");
  await on.goto("/articles");
  await on.waitForSelector(".index a");
  await shot("articles");
}

for (const [name, options] of [
  ["light", {}],
  ["dark", { colorScheme: "dark" }],
  ["small", { viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true }],
]) {
  await test(`axe finds nothing on any view, ${name}`, async () => {
    const on = await page(of, server.url, options);
    const found = [];
    await views(on, async (view) => {
      await on.screenshot({ path: join(SHOTS, `${name}-${view}.png`), fullPage: true });
      for (const wrong of await axe(on)) found.push(`${view}: ${wrong}`);
      const wide = await on.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
      if (wide > 0) found.push(`${view}: ${wide} pixels too wide`);
    });
    assert.deepEqual(found, []);
    assert.deepEqual(on.troubles, []);
  });
}

await test("an article prints on paper", async () => {
  const on = await page(of, server.url);
  await on.goto("/articles/rcd-trips-on-plug-in");
  await on.waitForSelector(".piece");
  await on.emulateMedia({ media: "print" });
  assert.equal(await on.locator(".wrong >> nth=0").isVisible(), false);
  await on.pdf({ path: join(SHOTS, "article.pdf") });
});

await test("asked to stop, the server ends well", async () => {
  assert.equal(await server.stop(), 0);
});

await of.close();
end("browser");
