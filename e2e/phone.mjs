// What a rider meets on a phone: the first screen in about two screens, no page without end, folds that an address, a
// search and paper open; a length read from a step and back; a part laid on the shelf.
import { execFileSync } from "node:child_process";
import { mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { desk } from "./browser.mjs";
import { serve } from "./server.mjs";
import { check, must, none } from "./tally.mjs";
import { bothWays, text } from "./ways.mjs";

const garage = { viewport: { width: 360, height: 800 }, deviceScaleFactor: 1, isMobile: true, hasTouch: true };
/** Most screens of the first page, with its footer, where not more than three reasons must be seen. */
const HOME_SCREENS = 2.5;
/** Most height of any page: a thumb's patience. */
const TALLEST_PX = 9000;
const STATES = ["ready", "care", "stop", "unknown", "thin"];
const PLAN = "/jobs/plan?job=final-drive-set";

const height = (page) => page.evaluate(() => document.documentElement.scrollHeight);

async function heights(browser, server, pages) {
  const context = await browser.newContext(garage);
  const page = await context.newPage();
  await check("no page is without end", async () => {
    const tall = [];
    for (const path of pages.flatMap(({ visits }) => visits.filter((path) => !path.startsWith("/figures/")))) {
      await page.goto(new URL(path, server.address).href);
      const high = await height(page);
      if (high > TALLEST_PX) tall.push(`${path} is ${high} px high`);
    }
    none(tall);
  });
  await context.close();
}

async function firstScreen(browser, server, more) {
  const context = await browser.newContext(garage);
  const page = await context.newPage();
  // Reasons of the bike's own state; what a plan still lacks stands with the plan.
  await check(`the first page is short, ${more}`, async () => {
    await page.goto(server.address);
    const high = (await height(page)) / garage.viewport.height;
    must(high <= HOME_SCREENS, `${high.toFixed(2)} screens`);
    const seen = await page.evaluate(() => ({
      folded: [...document.querySelectorAll("#answer > details")].filter((one) => /more to clear|In order/.test(one.textContent.split(":")[0]))
        .flatMap((one) => [...one.querySelectorAll("li.stop, li.unknown")]).length,
      buttons: [...document.querySelectorAll(".thirds .button")].map((one) => one.getBoundingClientRect()).filter(({ height }) => height >= 48).length,
    }));
    must(seen.folded === 0, `${seen.folded} reasons that stop or are not known are folded away`);
    must(seen.buttons === 3, `${seen.buttons} buttons`);
  });
  await context.close();
}

async function folds(browser, server) {
  for (const javaScriptEnabled of [true, false]) {
    const how = javaScriptEnabled ? "with script" : "without script";
    const context = await browser.newContext({ ...garage, javaScriptEnabled });
    const page = await context.newPage();
    const opened = () => page.locator("#step-28").evaluate((one) => [one.closest("details").open, one.getBoundingClientRect().top]);
    await check(`a step of the plan is folded, and its address leads into it, ${how}`, async () => {
      await page.goto(new URL(PLAN, server.address).href);
      must(!(await opened())[0], "it is open unasked");
      await page.goto(new URL(`${PLAN}#step-28`, server.address).href);
      const [open, top] = await opened();
      must(open, "it is folded still");
      must(top >= 0 && top < garage.viewport.height, `it stands at ${top} px`);
    });
    await check(`words inside a step are found, ${how}`, async () => {
      await page.goto("about:blank");
      await page.goto(new URL(`${PLAN}#:~:text=Wooden%20handle%20between`, server.address).href);
      await page.waitForTimeout(300);
      const found = await page.locator("details[open] [id^=step-]", { hasText: "Wooden handle between" }).count();
      must(found === 1, `${found} steps were opened`);
    });
    await check(`a step is opened by hand, ${how}`, async () => {
      await page.goto(new URL(PLAN, server.address).href);
      await page.tap("summary:has-text('28. Rear axle nut')");
      must((await opened())[0] && (await page.isVisible("#step-28 .caution.stop")), "its stop is not seen");
    });
    await context.close();
  }
  await check("on paper every step of the plan is there", async () => {
    const context = await browser.newContext(desk);
    const page = await context.newPage();
    await page.goto(new URL(PLAN, server.address).href);
    const file = join(mkdtempSync(join(tmpdir(), "tightspot-")), "plan.pdf");
    await page.pdf({ path: file, format: "A4" });
    const printed = execFileSync("pdftotext", ["-layout", file, "-"], { encoding: "utf8", maxBuffer: 1 << 26 }).replace(/\s+/g, " ");
    const wanted = await page.evaluate(() => [...document.querySelectorAll("[id^=step-] > p:not(.soft)")].map((one) => one.textContent.replace(/\s+/g, " ").trim()));
    must(wanted.length > 60, `only ${wanted.length} paragraphs`);
    none(wanted.filter((words) => !printed.includes(words.slice(0, 25))));
    await context.close();
  });
}

/** A step that asks for the chain's length: measured as a reading, and back with its longest place. */
async function lengthAtTheBench(browser) {
  const server = await serve("--demo");
  await bothWays(browser, server, async ({ page, how, open, isSound }) => {
    const away = (selector) => Promise.all([page.waitForNavigation(), page.click(selector)]);
    await check(`a length asked for by a step becomes a reading, ${how}`, async () => {
      await open("/jobs/start?job=chain-slack");
      await away("main form[method=post] button.primary");
      const order = page.url().replace(/\/gather$/, "");
      await page.goto(`${order}/steps`);
      await away("main .list a:has-text('Measure drivetrain')");
      await isSound();
      await away("a:has-text('Read it at three places')");
      await isSound();
      for (const [at, value] of [[1, "319,2"], [2, "319,7"], [3, "319,4"]]) await page.fill(`#length_${at}`, value);
      await away("main form button.primary");
      must((await text(page)).includes("Saved."), await text(page));
      await isSound();
      await away("a.primary:has-text('of the work order')");
      must(page.url().startsWith(order), page.url());
      must((await page.inputValue("[name=value-wear-reading]")).startsWith("319.7"), await page.inputValue("[name=value-wear-reading]"));
    });
  });
  await server.end();
}

async function shelf(browser) {
  const server = await serve("--demo");
  await bothWays(browser, server, async ({ page, how, open, isSound }) => {
    const away = (selector) => Promise.all([page.waitForNavigation(), page.click(selector)]);
    await check(`a part is laid on the shelf and taken back, ${how}`, async () => {
      await open("/parts");
      await away("a[href='/parts/shelf']");
      await isSound();
      await page.selectOption("#role", "front");
      await page.fill("#name", "old 14");
      await page.fill("#count", "99");
      await away("main form button.primary");
      must((await page.title()).startsWith("Error:"), await page.title());
      must((await page.inputValue("#name")) === "old 14" && (await page.inputValue("#role")) === "front", "typed text is lost");
      await isSound();
      await page.fill("#count", "14");
      await page.fill("#used", "40,5");
      await away("main form button.primary");
      const told = await text(page);
      for (const words of ["Saved.", "old 14", "40.5"]) must(told.includes(words), `${words}: ${told}`);
      await away(".saved button");
      await open("/parts");
      must(!(await text(page)).includes("old 14"), "it lies there still");
    });
  });
  await server.end();
}

export async function onPhone(browser, server, pages) {
  await firstScreen(browser, server, "demo");
  for (const state of STATES) {
    const other = await serve("--demo", "--demo-state", state);
    await firstScreen(browser, other, state);
    await other.end();
  }
  await folds(browser, server);
  await lengthAtTheBench(browser);
  await shelf(browser);
  await heights(browser, server, pages);
}
