// Answers in place: the part is swapped, caret and focus stay, late answers are dropped, a cut line falls back.
import { desk } from "./browser.mjs";
import { check, must } from "./tally.mjs";

const figure = "/figures/slack.alignment?left_mm=600&right_mm=601&track_mm=220&ask=1";

export async function live(browser, server) {
  const context = await browser.newContext(desk);
  const page = await context.newPage();
  const open = () => page.goto(new URL(figure, server.address).href);
  const answer = () => page.textContent("#answer");
  const changed = async (before) => {
    await page.waitForFunction((before) => document.getElementById("answer").textContent !== before, before, { timeout: 5000 });
    return answer();
  };

  await check("typing renews the answer in place", async () => {
    await open();
    await page.evaluate(() => { window.same = true; });
    const before = await answer();
    await page.focus("#left_mm");
    await page.keyboard.press("End");
    await page.keyboard.press("ArrowLeft");
    await page.keyboard.type("0");
    await page.keyboard.press("Backspace");
    await page.keyboard.press("End");
    await page.keyboard.type(",5");
    must((await changed(before)).includes("600.75"), await answer());
    must(await page.evaluate(() => window.same === true), "the page was loaded anew");
    const caret = await page.evaluate(() => [document.activeElement.id, document.activeElement.selectionStart]);
    must(caret[0] === "left_mm" && caret[1] === 5, `caret at ${caret}`);
    must(page.url().includes("left_mm=600%2C5"), page.url());
    must((await page.textContent("#said")).includes("renewed"), "nothing was announced");
  });

  await check("an answer that comes too late is dropped", async () => {
    await open();
    let first = true;
    await page.route("**/figures/slack.alignment?*", async (route) => {
      const slow = first;
      first = false;
      if (slow) await new Promise((resolve) => setTimeout(resolve, 900));
      await route.continue().catch(() => {});
    });
    const before = await answer();
    await page.fill("#left_mm", "610");
    await page.waitForTimeout(400);
    await page.fill("#left_mm", "601");
    const got = await changed(before);
    await page.waitForTimeout(1000);
    must((await answer()) === got && got.includes("601"), await answer());
    await page.unroute("**/figures/slack.alignment?*");
  });

  await check("with the line cut, sending loads the page", async () => {
    await open();
    await page.route("**/figures/slack.alignment?*", (route) => (route.request().headers()["x-part"] ? route.abort() : route.continue()));
    await page.fill("#left_mm", "602");
    await Promise.all([page.waitForNavigation(), page.press("#left_mm", "Enter")]);
    must(page.url().includes("left_mm=602") && (await answer()).includes("601.5"), await answer());
    await page.unroute("**/figures/slack.alignment?*");
  });

  await check("what is unfolded stays unfolded", async () => {
    await open();
    await page.click("#answer summary");
    const before = await answer();
    await page.fill("#left_mm", "603");
    await changed(before);
    must(await page.evaluate(() => document.querySelector("#answer details").open), "it was folded");
  });
  await context.close();
}
