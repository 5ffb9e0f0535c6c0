// Pictures of the pages for the documentation: phone and desk, light and dark. `node e2e/pictures.mjs [path…]`
import { mkdirSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { browse, desk, phone } from "./browser.mjs";
import { serve } from "./server.mjs";

const folder = fileURLToPath(new URL("../docs/pictures/", import.meta.url));
/** The places of the tool, as the header names them; a path on the command line stands instead of all. */
const places = process.argv.length > 2 ? process.argv.slice(2) : ["/", "/gearing", "/drive", "/jobs", "/rides", "/parts", "/bike"];

mkdirSync(folder, { recursive: true });
const server = await serve("--demo");
const browser = await browse();
for (const [name, dress] of Object.entries({ phone: { ...phone, deviceScaleFactor: 1 }, desk })) {
  for (const colorScheme of ["light", "dark"]) {
    const context = await browser.newContext({ ...dress, colorScheme, reducedMotion: "reduce" });
    const page = await context.newPage();
    for (const path of places) {
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
