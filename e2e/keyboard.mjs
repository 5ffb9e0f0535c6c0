// With the keyboard alone: every stop is seen and not covered, nothing traps, the skip link comes first.
import { desk, phone } from "./browser.mjs";
import { check, must, none } from "./tally.mjs";

/** The focused thing: its name, whether its ring shows, whether something lies over it. */
const stop = (page) => page.evaluate(() => {
  const one = document.activeElement;
  if (!one || one === document.body) return null;
  const style = getComputedStyle(one);
  const box = one.getBoundingClientRect();
  // Of a thing that fits the window the middle must be clear; of a taller one some of it, for it scrolls.
  const inside = (at, most) => Math.min(Math.max(at, 1), most - 1);
  const at = (part) => document.elementFromPoint(inside(box.left + box.width / 2, innerWidth), inside(box.top + box.height * part, innerHeight));
  const label = one.labels?.[0];
  const free = (over) => Boolean(over) && (one === over || one.contains(over) || over.contains(one) || label === over);
  const parts = box.height > innerHeight / 2 ? [0.02, 0.25, 0.5, 0.75, 0.98] : [0.5];
  const over = at(0.5);
  return {
    place: [...document.querySelectorAll("*")].indexOf(one),
    name: `${one.tagName} “${(one.textContent || one.getAttribute("aria-label") || one.name || "").trim().slice(0, 40)}”`,
    ring: style.outlineStyle !== "none" && Number.parseFloat(style.outlineWidth) >= 2,
    clear: parts.some((part) => free(at(part))),
    over: over ? `${over.tagName}.${over.getAttribute("class")}` : "nothing",
  };
});

export async function walk(browser, server, pages) {
  for (const [name, dress] of [["phone", phone], ["desk", desk]]) {
    const context = await browser.newContext(dress);
    const page = await context.newPage();
    for (const path of pages.map(({ visits }) => visits[0])) {
      await check(`keyboard, ${name}, ${path}`, async () => {
        await page.goto(new URL(path, server.address).href);
        await page.evaluate(() => document.activeElement?.blur());
        const stops = [];
        const faults = [];
        for (let count = 0; count < 200; count += 1) {
          await page.keyboard.press("Tab");
          const at = await stop(page);
          if (!at || at.place === stops[0]?.place) break;
          stops.push(at);
          if (!at.ring) faults.push(`no ring on ${at.name}`);
          if (!at.clear) faults.push(`${at.name} lies under ${at.over}`);
        }
        must(stops.length > 8, `only ${stops.length} stops`);
        must(stops[0].name.includes("Skip to the content"), `first stop is ${stops[0].name}`);
        const order = stops.map(({ place }) => place);
        must(order.every((place, at) => at === 0 || place > order[at - 1]), "focus jumps against the reading order");
        none(faults);
      });
    }
    await context.close();
  }
  await check("keyboard, the skip link skips", async () => {
    const context = await browser.newContext(desk);
    const page = await context.newPage();
    await page.goto(new URL("/pages", server.address).href);
    await page.keyboard.press("Tab");
    await page.keyboard.press("Enter");
    await page.keyboard.press("Tab");
    must(await page.evaluate(() => Boolean(document.activeElement.closest("main"))), "the next stop is not in the content");
    await context.close();
  });
}
