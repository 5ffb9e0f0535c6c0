// The record's flows: a ride logged in a few taps, the chain measured, the season read; with script, without, by keyboard.
import { phone } from "./browser.mjs";
import { reach } from "./hands.mjs";
import { serve } from "./server.mjs";
import { check, must } from "./tally.mjs";

/** Most taps of a ride logged, digits not counted. */
const MOST_TAPS = 8;

export async function record(browser) {
  for (const javaScriptEnabled of [true, false]) {
    const how = javaScriptEnabled ? "with script" : "without script";
    const server = await serve("--demo");
    const context = await browser.newContext({ ...phone, javaScriptEnabled });
    const page = await context.newPage();
    const open = (path) => page.goto(new URL(path, server.address).href);
    let taps = 0;
    const tap = async (selector) => { taps += 1; await page.tap(selector); };
    const tapAway = async (selector) => { taps += 1; await Promise.all([page.waitForNavigation(), page.tap(selector)]); };

    await check(`a ride is logged in at most ${MOST_TAPS} taps, ${how}`, async () => {
      await open("/");
      await tapAway("a[href='/rides/log']");
      await tap("#hours");
      await page.keyboard.type("2:45");
      await tap("label[for=odd-clunk]");
      await tapAway("form[action='/rides/log'] button[type=submit]");
      must(taps <= MOST_TAPS, `${taps} taps`);
      const text = await page.textContent("main");
      for (const words of ["Saved.", "Total hours", "2.75 h", "clunk"]) must(text.includes(words), `${words}: ${text}`);
    });

    await check(`it is taken back from the next page, ${how}`, async () => {
      await Promise.all([page.waitForNavigation(), page.tap("form[action='/history/undo'] button")]);
      must((await page.textContent("main")).includes("is taken back"), page.url());
    });

    await check(`quick slack is measured and judged, ${how}`, async () => {
      await open("/drive/measure");
      await Promise.all([page.waitForNavigation(), page.tap("a[href='/drive/measure/slack']")]);
      for (const [at, value] of [[1, "72"], [2, "73"], [3, "72,5"], [4, "73"]]) await page.fill(`#slack_${at}`, value);
      await Promise.all([page.waitForNavigation(), page.tap("main form button.primary")]);
      const text = await page.textContent("main");
      for (const words of ["Not ready", "Turn the adjusters", "Strike it out"]) must(text.includes(words), `${words}: ${text}`);
    });

    await check(`the season stands on one page, ${how}`, async () => {
      await open("/rides/season");
      const text = await page.textContent("main");
      for (const words of ["Ground", "Chains and sprockets", "Jobs done", "Open now, before the next ride"]) must(text.includes(words), words);
    });
    await context.close();
    await server.end();
  }

  await check("a ride is logged with the keyboard alone", async () => {
    const server = await serve("--demo");
    const context = await browser.newContext(phone);
    const page = await context.newPage();
    await page.goto(new URL("/rides/log", server.address).href);
    await reach(page, "#hours");
    await page.keyboard.type("1,5");
    await Promise.all([page.waitForNavigation(), page.keyboard.press("Enter")]);
    must((await page.textContent("main")).includes("1.50 h"), page.url());
    await context.close();
    await server.end();
  });
}
