// A change of gearing for a ride, by the keyboard alone and without script: rides brought in, weighed, the pair
// proposed, its fit, the job; a stretch, a season, another bike, and what a change did.
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { press, reach, type } from "./hands.mjs";
import { loose } from "./measures.mjs";
import { check, must, none } from "./tally.mjs";
import { bothWays, text } from "./ways.mjs";

const made = readFileSync(fileURLToPath(new URL("../data/gpx/synthetic_single_track_clean.gpx", import.meta.url)), "utf8");

/** The made ride under another mark, so that it counts as another file. */
const copy = (mark) => ({ name: `${mark}.gpx`, mimeType: "application/gpx+xml", buffer: Buffer.from(made.replace("<g:name>", `<g:name>${mark} `)) });

export async function gearingFlow(browser, server) {
  await bothWays(browser, server, async ({ page, how, scripted, open, isSound }) => {
    await check(`a season is brought in, ${how}`, async () => {
      await open("/rides/import");
      const files = ["one", "two", "three"].map((name) => copy(`${name} ${how}`));
      files.push({ name: "photo.gpx", mimeType: "application/gpx+xml", buffer: Buffer.from([0xff, 0xd8, 0xff]) });
      await page.setInputFiles("#file", files);
      await reach(page, "main button[type=submit]");
      await page.keyboard.press("Enter");
      await page.waitForURL(/\/rides\/import\/.+/);
      for (let count = 0; count < 100 && (await page.locator("#stop").count()) > 0; count += 1) {
        if (!scripted) await Promise.all([page.waitForNavigation(), page.click("#look")]);
        await page.waitForTimeout(200);
      }
      const told = await text(page);
      must(/3 of 4 kept, 0 there already, 1 bad/.test(told), told.slice(0, 300));
      must(told.includes("photo.gpx"), "the bad file is not named");
      none(await loose(page));
    });

    await check(`from several rides to a pair, its fit and its job by keyboard, ${how}`, async () => {
      await open("/gearing?ride=several&weight_1=0");
      const first = await text(page);
      must(first.indexOf("For ground like that of") < first.indexOf("The rides behind the answer"), "the demand does not stand first");
      must(/to the rear stop and/.test(first), "the room of the axle is not said");
      must(/(Change to|Stay on|no plain advice)/.test(first), "no recommendation");
      must(first.includes("What fitting each of them takes"), "no candidate with its fit");
      await reach(page, "main a.button[href^='/gearing/fit']");
      await press(page, "Enter");
      must(/(Fits|Does not fit)/.test(await text(page)), "no fit");
      await page.goBack();
      await reach(page, "main a.button[href^='/jobs/plan']");
      await press(page, "Enter");
      must(page.url().includes("/jobs/plan?front_teeth="), page.url());
    });

    await check(`weights of the gear choice change the answer and say so, ${how}`, async () => {
      await open("/gearing?ride=1&one_gear_step=9");
      const told = await text(page);
      must(told.includes("changed by you") && told.includes("one gear step 9"), "the weights are not named");
      await open("/gearing?ride=1&one_gear_step=-1");
      must((await page.title()).startsWith("Error: "), await page.title());
      must((await page.inputValue("#one_gear_step")) === "-1", "what was typed is lost");
    });

    await check(`a stretch is marked on the ride's page by keyboard, ${how}`, async () => {
      await open("/rides/1");
      await reach(page, "#from_s");
      await page.keyboard.type("4:20");
      await reach(page, "#to_s");
      await page.keyboard.type("7:05");
      await press(page, "Enter");
      must((await text(page)).includes("least thrust in reserve"), "no reserve");
      await type(page, "to_s", "4.20");
      await press(page, "Enter");
      must((await page.title()).startsWith("Error: "), await page.title());
    });

    await check(`season, like, wish and outcome answer, ${how}`, async () => {
      for (const [path, words] of [
        ["/gearing/season", "Fewest pieces for"],
        ["/gearing/season", "Does a swap pay?"],
        ["/gearing/wish?crawl_kmh=11", "11"],
        ["/gearing/outcome", "Your own speeds"],
      ]) {
        await open(path);
        must((await text(page)).includes(words), `${path}: ${words} is not there`);
        await isSound();
      }
    });
  });
}
