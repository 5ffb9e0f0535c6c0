// Pictures of the pages for the documentation: phone and desk, light and dark. `node e2e/pictures.mjs [path…]`
import { mkdirSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { browse, desk, phone } from "./browser.mjs";
import { serve } from "./server.mjs";

const folder = fileURLToPath(new URL("../docs/pictures/", import.meta.url));
/** The places of the tool, as the header names them; a path on the command line stands instead of all. */
const named = process.argv.slice(2);
const places = named.length > 0 ? named : ["/", "/gearing", "/drive", "/jobs", "/rides", "/parts", "/bike"];
/** A page out of the middle of each flow: on the phone in the dark and at the desk in the light. */
const flows = named.length > 0 ? [] : [
  "/gearing/fit?front_teeth=14&rear_teeth=50", "/jobs/plan?rear_teeth=50", "/rides/log", "/drive/measure/slack",
  "/parts/check", "/rides/season", "/drive/sets", "/drive?slack_mm=72",
];

mkdirSync(folder, { recursive: true });
const server = await serve("--demo");
const browser = await browse();
for (const [name, dress] of Object.entries({ phone: { ...phone, deviceScaleFactor: 1 }, desk })) {
  for (const colorScheme of ["light", "dark"]) {
    const context = await browser.newContext({ ...dress, colorScheme, reducedMotion: "reduce" });
    const page = await context.newPage();
    const both = (name === "phone") === (colorScheme === "dark");
    for (const path of both ? [...places, ...flows] : places) {
      const answer = await page.goto(new URL(path, server.address).href);
      if (!answer.ok()) throw new Error(`${path} answered ${answer.status()}`);
      const word = path.replace(/^\//, "").replace(/\W+/g, "-").replace(/-$/, "") || "ready";
      await page.screenshot({ path: `${folder}${word}-${name}-${colorScheme}.png` });
    }
    await context.close();
  }
}
await browser.close();
await server.end();
