// The bench: a set from the middle to the record, on a phone in the garage. By keyboard alone and without script; with the
// connection cut between two ticks; from two phones at once; a tick sent twice.
import { check, must } from "./tally.mjs";
import { serve } from "./server.mjs";

const garage = { viewport: { width: 360, height: 800 }, deviceScaleFactor: 2, isMobile: true, hasTouch: true };
const ORDER = "/jobs/order/1";
const figures = {
  rear_axle_torque_nm: "100", rear_sprocket_torque_nm: "35", front_sprocket_nut_torque_nm: "60", source: "manual, p. 12",
  "value-slack": "85", "value-slack-after-torque": "85", "value-cut-count": "118", "value-rear-axle-torque": "100",
  "value-rear-sprocket-torque": "35", "value-front-sprocket-nut": "60",
};

/** How far the order is, off its own page of steps. */
async function done(page, server) {
  await page.goto(new URL(`${ORDER}/steps`, server.address).href);
  const text = await page.textContent("main");
  return Number(/(\d+) of \d+ steps done/.exec(text)[1]);
}

/** What has the focus: enough to know what to press. */
const focused = (page) => page.evaluate(() => {
  const at = document.activeElement;
  if (!at || at === document.body) return null;
  const form = at.closest("form")?.getAttribute("action") ?? "";
  const group = at.type === "radio" && [...at.form.elements].some((one) => one.name === at.name && one.checked);
  return {
    tag: at.tagName, type: at.type ?? "", name: at.name ?? "", value: at.value ?? "", form, checked: Boolean(at.checked), group,
    words: (at.textContent ?? "").trim(), hidden: Boolean(at.closest("details:not([open])")),
  };
});

/** Fills the form of a page with Tab, Space and typing, and sends it with Enter. */
async function byKeyboard(page, action) {
  await page.evaluate(() => document.activeElement?.blur());
  for (let count = 0; count < 120; count += 1) {
    await page.keyboard.press("Tab");
    const at = await focused(page);
    if (!at || !at.form.endsWith(action)) continue;
    if (at.type === "checkbox" && at.name.startsWith("read-")) await page.keyboard.press("Space");
    if (at.type === "radio" && !at.group) {
      await page.keyboard.press("Space");
      // Of several answers the first one is the snap ring's: this bike has a nut.
      if (at.value.startsWith("snap ring")) await page.keyboard.press("ArrowDown");
    }
    if (at.type === "text" && !at.value && (at.name.startsWith("value-") || figures[at.name])) {
      await page.keyboard.type(figures[at.name] ?? "12");
    }
    if (at.tag === "BUTTON" && at.type === "submit") {
      await Promise.all([page.waitForNavigation(), page.keyboard.press("Enter")]);
      return;
    }
  }
  throw new Error(`no way to send ${action}`);
}

/** The whole rest of the order, step by step. */
async function toTheEnd(page, server) {
  for (let count = 0; count < 60; count += 1) {
    await page.goto(new URL(ORDER, server.address).href);
    if (page.url().endsWith("/close")) return count;
    while (await page.locator("form[action$='/figure']").count()) await byKeyboard(page, "/figure");
    await byKeyboard(page, "/tick");
    if ((await page.title()).startsWith("Error")) throw new Error(`${await page.textContent("main h1")}: ${await page.textContent(".fault-summary")}`);
  }
  throw new Error("it never ends");
}

async function wholeFlow(browser) {
  const server = await serve("--demo");
  const context = await browser.newContext({ ...garage, javaScriptEnabled: false });
  const page = await context.newPage();
  try {
    await check("bench: from the middle to the record by keyboard, without script", async () => {
      await page.goto(new URL(`${ORDER}/close`, server.address).href);
      must((await page.textContent("main")).includes("Pump the rear brake until the pedal is firm"), "the open safety steps have no names");
      const steps = await toTheEnd(page, server);
      must(steps > 20, `only ${steps} steps`);
      await byKeyboard(page, "/close");
      must((await page.textContent("h1")).includes("is closed"), await page.textContent("main"));
      await page.goto(server.address);
      const ready = await page.textContent("main");
      must(!ready.includes("Drive apart since"), "the verdict still says that the drive is apart");
      must(ready.includes("No length reading of this chain"), "a new chain has a length already");
      must(ready.includes("No shakedown"), "nothing is said of the event");
    });
  } finally {
    await context.close();
    await server.end();
  }
}

async function looks(browser, server) {
  const context = await browser.newContext(garage);
  const page = await context.newPage();
  await check("bench: the figure is large, the text readable, the button low and wide", async () => {
    await page.goto(new URL(`${ORDER}?step=20`, server.address).href);
    const seen = await page.evaluate(() => {
      const size = (one) => one && Number.parseFloat(getComputedStyle(one).fontSize);
      const button = document.querySelector("form[data-tick] .button.primary").getBoundingClientRect();
      return {
        figure: size(document.querySelector(".figure-value b")), text: size(document.querySelector(".bench-text")),
        top: button.top, width: button.width, height: button.height, wide: document.documentElement.scrollWidth,
      };
    });
    must(seen.figure >= 40, `the figure has ${seen.figure} px`);
    must(seen.text >= 18, `the text has ${seen.text} px`);
    must(seen.top > 533 && seen.width > 300 && seen.height >= 48, `the button: ${JSON.stringify(seen)}`);
    must(seen.wide <= 360, `the page is ${seen.wide} px wide`);
  });
  await check("bench: a stop that is not read keeps the step from being ticked, and typed text stays", async () => {
    await page.goto(new URL(`${ORDER}?step=10`, server.address).href);
    await page.click("form[data-tick] .button.primary");
    await page.waitForSelector(".fault-summary");
    must((await page.title()).startsWith("Error:"), await page.title());
    must((await page.textContent(".fault-summary")).includes("Read the stop first"), await page.textContent(".fault-summary"));
    must((await done(page, server)) === 8, "something was ticked");
  });
  await context.close();
}

async function cutOff(browser, server) {
  const context = await browser.newContext(garage);
  const page = await context.newPage();
  await check("bench: with the connection cut it says so, keeps what is typed, and the next tap stores it once", async () => {
    await page.goto(new URL(ORDER, server.address).href);
    await page.fill("[name='value-slider-left']", "8.5");
    await page.check("[name='passes-slider-left'][value=yes]");
    await context.setOffline(true);
    await page.click("form[data-tick] .button.primary");
    await page.waitForSelector("#not-saved:not([hidden])");
    must((await page.inputValue("[name='value-slider-left']")) === "8.5", "what was typed is lost");
    must((await page.textContent("#said")).includes("Not saved"), "it is not read out");
    await context.setOffline(false);
    await Promise.all([page.waitForNavigation(), page.click("form[data-tick] .button.primary")]);
    must((await page.textContent("main")).includes("Saved: Inspect guides"), await page.textContent("main"));
    must((await done(page, server)) === 9, "it was not stored once");
  });
  await check("bench: the answer lost on its way back, the same tick sent again is stored once", async () => {
    await page.goto(new URL(ORDER, server.address).href);
    for (const box of await page.locator("form[data-tick] input[type=checkbox][name^='read-']").all()) await box.check();
    let lost = 0;
    await page.route("**/tick", async (route) => {
      if (lost > 0) return route.continue();
      lost += 1;
      await route.fetch({ maxRedirects: 0 });
      return route.abort("connectionreset");
    });
    await page.click("form[data-tick] .button.primary");
    await page.waitForSelector("#not-saved:not([hidden])");
    await Promise.all([page.waitForNavigation(), page.click("form[data-tick] .button.primary")]);
    await page.unroute("**/tick");
    must(lost === 1 && (await done(page, server)) === 10, `${await done(page, server)} steps are done`);
  });
  await context.close();
}

async function twoPhones(browser, server) {
  const [one, other] = await Promise.all([browser.newContext(garage), browser.newContext({ ...garage, javaScriptEnabled: false })]);
  const [first, second] = await Promise.all([one.newPage(), other.newPage()]);
  await check("bench: two phones on one step: the second tick is the same tick, and is told so", async () => {
    for (const page of [first, second]) await page.goto(new URL(ORDER, server.address).href);
    const before = (await second.textContent(".bench-line")).trim();
    for (const page of [first, second]) {
      for (const box of await page.locator("form[data-tick] input[type=checkbox][name^='read-']").all()) await box.check();
      for (const yes of await page.locator("form[data-tick] input[type=radio][value=yes]").all()) await yes.check();
    }
    await Promise.all([first.waitForNavigation(), first.click("form[data-tick] .button.primary")]);
    await Promise.all([second.waitForNavigation(), second.click("form[data-tick] .button.primary")]);
    const text = await second.textContent("main");
    must(text.includes("Was ticked meanwhile"), text);
    must((await second.textContent(".bench-line")).trim() !== before, "the second phone stays behind");
    must((await done(first, server)) === 11, `${await done(first, server)} steps are done`);
  });
  await Promise.all([one.close(), other.close()]);
}

export async function bench(browser) {
  const server = await serve("--demo");
  try {
    await looks(browser, server);
    await cutOff(browser, server);
    await twoPhones(browser, server);
  } finally {
    await server.end();
  }
  await wholeFlow(browser);
}
