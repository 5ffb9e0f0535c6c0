// The screen stays on at the bench where the browser allows it; where it does not, or refuses, the page says what to do.
import { phone } from "./browser.mjs";
import { serve } from "./server.mjs";
import { check, must } from "./tally.mjs";

const WORDS = "Set your screen to stay on while you work.";
const ON = "The screen stays on while this page is open.";

/** Browsers by what they make of the wish: what runs in the page before it does. */
const allows = () => {
  window.wishes = [];
  const wakeLock = { request: async (what) => { window.wishes.push(what); return { released: false, release: async () => {} }; } };
  Object.defineProperty(Navigator.prototype, "wakeLock", { value: wakeLock, configurable: true });
};
const refuses = () => {
  window.wishes = [];
  const wakeLock = { request: async (what) => { window.wishes.push(what); throw new DOMException("low battery", "NotAllowedError"); } };
  Object.defineProperty(Navigator.prototype, "wakeLock", { value: wakeLock, configurable: true });
};
const knowsNone = () => { delete Navigator.prototype.wakeLock; };

export async function awake(browser) {
  const server = await serve("--demo");
  const said = async (more, prepared, look) => {
    const context = await browser.newContext({ ...phone, ...more });
    const page = await context.newPage();
    const faults = [];
    page.on("pageerror", (fault) => faults.push(String(fault)));
    if (prepared) await page.addInitScript(prepared);
    await page.goto(new URL("/jobs/order/1", server.address).href);
    await page.waitForTimeout(200);
    await look(page);
    must(faults.length === 0, faults.join("\n"));
    await context.close();
  };
  const words = async (page) => (await page.textContent("[data-awake]")).trim();

  await check("the screen is kept on where the browser allows it, and again when the page is looked at again", () => said({}, allows, async (page) => {
    must((await words(page)) === ON, await words(page));
    must((await page.evaluate(() => window.wishes.join())) === "screen", "it was not asked for once");
    await page.evaluate(() => document.dispatchEvent(new Event("visibilitychange")));
    await page.waitForFunction(() => window.wishes.length === 2);
  }));
  await check("a browser that refuses leaves the words that say what to do", () => said({}, refuses, async (page) => {
    must((await page.evaluate(() => window.wishes.length)) === 1, "it was not asked");
    must((await words(page)) === WORDS, await words(page));
  }));
  await check("a browser without it, as over plain http on the network, leaves the words and loses nothing", () => said({}, knowsNone, async (page) => {
    must((await words(page)) === WORDS, await words(page));
    await page.locator("form[data-tick] input[type=text]").first().fill("8.5");
    await page.evaluate(() => document.dispatchEvent(new Event("visibilitychange")));
    await page.waitForTimeout(300);
    must((await page.locator("form[data-tick] input[type=text]").first().inputValue()) === "8.5", "what was typed is lost when it wakes up");
  }));
  await check("without script the words stand as well", () => said({ javaScriptEnabled: false }, null, async (page) => must((await words(page)) === WORDS, await words(page))));
  await server.end();
}
