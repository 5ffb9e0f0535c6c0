// The season looked back on, by the keyboard alone, with script and without: from the rides to the span, a span typed wrong
// put right, what the record does not say named, and the page on paper.
import { press, reach, type } from "./hands.mjs";
import { check, must } from "./tally.mjs";
import { bothWays, text } from "./ways.mjs";

export async function season(browser, server) {
  await bothWays(browser, server, async ({ page, how, open, isSound }) => {
    await check(`the season is looked back on by keyboard, ${how}`, async () => {
      await open("/rides");
      await reach(page, "main a[href='/rides/season']");
      await press(page, "Enter");
      const year = await text(page);
      for (const words of ["Hours", "Ground", "Open now, before the next ride"]) must(year.includes(words), `${words} is not said: ${year.slice(0, 600)}`);
      await isSound();
      await type(page, "from", "spring");
      await press(page, "Enter");
      must((await page.title()).startsWith("Error: "), `title “${await page.title()}”`);
      must((await page.inputValue("#from")) === "spring", "the typed text is gone");
      await isSound();
      await type(page, "from", "2026-04-01");
      await type(page, "to", "2026-06-30");
      await press(page, "Enter");
      const span = await text(page);
      must(!(await page.title()).startsWith("Error: ") && span !== year, "the span changes nothing");
      must(span.includes("2026-04-01") && span.includes("2026-06-30"), span.slice(0, 600));
      await isSound();
    });

    await check(`a span of few rides is told in short, and on paper without its form, ${how}`, async () => {
      await open("/rides/season?from=2026-09-12&to=2026-09-13");
      const short = await text(page);
      await open("/rides/season");
      must(short.length < (await text(page)).length / 2, "it is no shorter than a year");
      await page.emulateMedia({ media: "print" });
      must(!(await page.locator("form[action='/rides/season']").isVisible()), "the form is on paper");
      must(await page.locator("main h1").isVisible(), "the heading is not on paper");
      await page.emulateMedia({ media: "screen" });
    });
  });
}
