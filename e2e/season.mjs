// The season looked back on, by the keyboard alone, with script and without: from the rides to the span, a span typed wrong
// put right, what the record does not say named, and the page on paper.
import { desk, phone } from "./browser.mjs";
import { press, reach, type } from "./hands.mjs";
import { axeFaults, loose, sideways } from "./measures.mjs";
import { check, must, none } from "./tally.mjs";

const text = async (page) => (await page.textContent("main")).replace(/\s+/g, " ");

export async function season(browser, server) {
  for (const javaScriptEnabled of [true, false]) {
    const how = javaScriptEnabled ? "with script" : "without script";
    const dress = javaScriptEnabled ? desk : phone;
    const context = await browser.newContext({ ...dress, javaScriptEnabled });
    const page = await context.newPage();
    const sound = async () => none([...(javaScriptEnabled ? await axeFaults(page) : []), ...(await loose(page)), ...(await sideways(page, dress.viewport.width))]);

    await check(`the season is looked back on by keyboard, ${how}`, async () => {
      await page.goto(new URL("/rides", server.address).href);
      await reach(page, "main a[href='/rides/season']");
      await press(page, "Enter");
      const year = await text(page);
      for (const words of ["Hours", "Ground", "Next season"]) must(year.includes(words), `${words} is not said: ${year.slice(0, 600)}`);
      await sound();
      await type(page, "from", "spring");
      await press(page, "Enter");
      must((await page.title()).startsWith("Error: "), `title “${await page.title()}”`);
      must((await page.inputValue("#from")) === "spring", "the typed text is gone");
      await sound();
      await type(page, "from", "2026-04-01");
      await type(page, "to", "2026-06-30");
      await press(page, "Enter");
      const span = await text(page);
      must(!(await page.title()).startsWith("Error: ") && span !== year, "the span changes nothing");
      must(span.includes("2026-04-01") && span.includes("2026-06-30"), span.slice(0, 600));
      await sound();
    });

    await check(`a span of few rides is told in short, and on paper without its form, ${how}`, async () => {
      await page.goto(new URL("/rides/season?from=2026-09-12&to=2026-09-13", server.address).href);
      const short = await text(page);
      await page.goto(new URL("/rides/season", server.address).href);
      must(short.length < (await text(page)).length / 2, "it is no shorter than a year");
      await page.emulateMedia({ media: "print" });
      must(!(await page.locator("form[action='/rides/season']").isVisible()), "the form is on paper");
      must(await page.locator("main h1").isVisible(), "the heading is not on paper");
      await page.emulateMedia({ media: "screen" });
    });
    await context.close();
  }
}
