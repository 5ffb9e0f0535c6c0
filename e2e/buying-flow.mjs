// Before buying, by the keyboard alone, with script and without: from the parts to the answer, wrong typing put right,
// units as people write them, and the answer on paper.
import { press, reach, type } from "./hands.mjs";
import { check, must } from "./tally.mjs";
import { bothWays, text } from "./ways.mjs";

export async function buyingFlow(browser, server) {
  await bothWays(browser, server, async ({ page, how, open, isSound }) => {
    await check(`what was typed wrong is named, stays, and is put right, ${how}`, async () => {
      await open("/parts");
      await reach(page, "main a[href='/parts/check']");
      await press(page, "Enter");
      await type(page, "links", "117");
      await type(page, "outer_width_mm", "three fingers");
      await press(page, "Enter");
      must((await page.title()).startsWith("Error: "), `title “${await page.title()}”`);
      must((await page.inputValue("#outer_width_mm")) === "three fingers", "the typed text is gone");
      await isSound();
      await type(page, "links", "118");
      await reach(page, "#size");
      await page.keyboard.type("520");
      await reach(page, "#sealed");
      await page.keyboard.type("sealed");
      await reach(page, "#joint");
      await page.keyboard.type("clip");
      await type(page, "outer_width_mm", "0,96 in");
      await press(page, "Enter");
      const told = await text(page);
      must(told.includes("Fits") && !told.includes("Not known"), told.slice(0, 400));
      // 0.96 in are 24.4 mm; 30 mm in the guide leave 2.8 on each side.
      must(/Air in the guide, each side\s*2\.8/.test(told), "the air in the guide");
      must(told.includes("connecting link"), "what goes with it");
      await isSound();
    });

    await check(`a pair that the chain does not reach says which chain goes with it, ${how}`, async () => {
      await open("/parts/check?what=rear&size=520");
      await type(page, "rear_teeth", "52");
      await press(page, "Enter");
      const told = await text(page);
      must(told.includes("Does not fit") && told.includes("chain of 120 links"), told.slice(0, 400));
      must(told.includes("stands further out"), "the guard is not named");
      await isSound();
      await page.emulateMedia({ media: "print" });
      must(await page.getByText("chain of 120 links").isVisible(), "it is not on paper");
      await page.emulateMedia({ media: "screen" });
      await reach(page, "main a[href='/parts/note?role=rear+sprocket']");
      await press(page, "Enter");
      must((await page.inputValue("#role")) === "rear sprocket", "the note is of another part");
    });
  });
}
