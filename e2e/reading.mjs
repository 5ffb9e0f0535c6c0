// Reading: the verdict on the first screen, text spaced wider, everything on paper.
import { execFileSync } from "node:child_process";
import { mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { desk, narrow, phone } from "./browser.mjs";
import { check, must, none } from "./tally.mjs";
import { sideways } from "./measures.mjs";

const spaced = "* { line-height: 1.5 !important; letter-spacing: 0.12em !important; word-spacing: 0.16em !important; } p { margin-bottom: 2em !important; }";

export async function reading(browser, server, pages) {
  const context = await browser.newContext(narrow);
  const page = await context.newPage();
  for (const path of pages.map(({ visits }) => visits[0])) {
    await check(`wider spaced text, ${path}`, async () => {
      await page.goto(new URL(path, server.address).href);
      await page.evaluate((css) => {
        const sheet = new CSSStyleSheet();
        sheet.replaceSync(css);
        document.adoptedStyleSheets = [sheet];
      }, spaced);
      none(await sideways(page, narrow.viewport.width));
      none(await page.evaluate(() => [...document.querySelectorAll("main *, header *, nav *")].flatMap((one) => {
        const style = getComputedStyle(one);
        const cut = style.overflowY === "hidden" && one.scrollHeight > one.clientHeight + 1 && !one.closest(".unseen") && !one.matches(".unseen");
        return cut ? [`${one.tagName} cuts its text off`] : [];
      })));
    });
  }
  await context.close();

  for (const path of ["/", "/kit?verdict=stop"]) {
    await check(`the verdict and three reasons stand on the first screen, ${path}`, async () => {
      const context = await browser.newContext({ ...phone, viewport: { width: 360, height: 800 } });
      const page = await context.newPage();
      await page.goto(new URL(path, server.address).href);
      const bottoms = await page.evaluate(() => {
        const bar = document.querySelector(".places").getBoundingClientRect().top;
        const says = [...document.querySelectorAll(".verdict h1, .verdict + .reasons .reason-says")].slice(0, 4);
        return says.map((one) => bar - one.getBoundingClientRect().bottom);
      });
      must(bottoms.length === 4 && bottoms.every((room) => room >= 0), `room below: ${bottoms.map(Math.round)}`);
      await context.close();
    });
  }

  await check("on paper all is unfolded and nothing is there to press", async () => {
    const context = await browser.newContext(desk);
    const page = await context.newPage();
    await page.goto(new URL("/kit?verdict=stop", server.address).href);
    const file = join(mkdtempSync(join(tmpdir(), "tightspot-")), "kit.pdf");
    await page.pdf({ path: file, format: "A4" });
    const text = execFileSync("pdftotext", ["-layout", file, "-"], { encoding: "utf8" });
    for (const words of ["Not ready", "What would change it", "elongation", "Push down, read", "222.6"]) {
      must(text.includes(words), `“${words}” is not on paper`);
    }
    for (const words of ["Fit to ride", "All pages", "Skip to"]) must(!text.includes(words), `“${words}” is on paper`);
    await context.close();
  });
}
