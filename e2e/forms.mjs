// Forms: with script and without, faults told, what was typed kept, sent twice but stored once.
import { phone } from "./browser.mjs";
import { check, must } from "./tally.mjs";

export async function forms(browser, server) {
  for (const javaScriptEnabled of [true, false]) {
    const how = javaScriptEnabled ? "with script" : "without script";
    const context = await browser.newContext({ ...phone, javaScriptEnabled });
    const page = await context.newPage();
    const open = (path) => page.goto(new URL(path, server.address).href);

    await check(`a fault is told and led to, ${how}`, async () => {
      await open("/kit");
      await page.fill("#slack_mm", "850");
      await page.fill("#note", "two\nlines");
      await Promise.all([page.waitForNavigation(), page.press("#slack_mm", "Enter")]);
      must((await page.title()).startsWith("Error: "), await page.title());
      must(await page.evaluate(() => document.activeElement?.className === "fault-summary"), "the focus is not on the list of faults");
      must((await page.inputValue("#slack_mm")) === "850" && (await page.inputValue("#note")) === "two\nlines", "typed text is lost");
      await page.click(".fault-summary a");
      must(await page.evaluate(() => document.activeElement?.id === "slack_mm"), "the link does not lead to the field");
      const fault = await page.textContent("#slack_mm-fault");
      must(fault.endsWith(await page.textContent(".fault-summary a")), "the field says it in other words");
    });

    await check(`put right it is stored, and reloading stores nothing again, ${how}`, async () => {
      await page.fill("#slack_mm", "8,5 cm");
      const posts = [];
      page.on("request", (request) => request.method() === "POST" && posts.push(request.url()));
      await Promise.all([page.waitForNavigation(), page.press("#slack_mm", "Enter")]);
      must(page.url().endsWith("/kit?saved=1"), page.url());
      await page.reload();
      must(posts.length === 1, `${posts.length} posts`);
    });

    await check(`the theme is switched and kept, ${how}`, async () => {
      await open("/figures");
      const paper = () => page.evaluate(() => getComputedStyle(document.documentElement).backgroundColor);
      const before = await paper();
      await Promise.all([page.waitForNavigation(), page.click("form[action='/theme'] button[value=dark]")]);
      must(page.url().endsWith("/figures"), page.url());
      const dark = await paper();
      must(dark !== before, "nothing changed");
      await open("/pages");
      must((await paper()) === dark, "the choice was not kept");
      must((await page.getAttribute("form[action='/theme'] button[value=dark]", "aria-pressed")) === "true", "the switch does not say so");
    });
    await context.close();
  }
}
