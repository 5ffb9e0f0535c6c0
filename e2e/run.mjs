// All browser tests. The list of pages comes from the server's own router.
import { askedOnce } from "./asked-once.mjs";
import { awake } from "./awake.mjs";
import { bench } from "./bench.mjs";
import { browse } from "./browser.mjs";
import { buyingFlow } from "./buying-flow.mjs";
import { everywhere, inEveryDress, weigh } from "./dresses.mjs";
import { fields } from "./fields.mjs";
import { firstDay } from "./first-day.mjs";
import { forms } from "./forms.mjs";
import { gearingFlow } from "./gearing-flow.mjs";
import { walk } from "./keyboard.mjs";
import { live } from "./live.mjs";
import { measuring } from "./measuring.mjs";
import { onPhone } from "./phone.mjs";
import { picturesHold } from "./pictures-hold.mjs";
import { reading } from "./reading.mjs";
import { record } from "./record.mjs";
import { season } from "./season.mjs";
import { serve } from "./server.mjs";
import { signIn } from "./sign-in.mjs";
import { check, close, must } from "./tally.mjs";

const server = await serve("--demo");
const browser = await browse();
try {
  const answer = await fetch(new URL("/api/v1/routes", server.address));
  const { pages: all } = await answer.json();
  await check("the router lists its pages", () => must(all.length >= 4, `only ${all.length} pages`));
  // One part alone, and of it the pages under one address alone, for whoever works on them.
  const [, , only, under = ""] = process.argv;
  const pages = all.filter(({ path }) => path.startsWith(under));
  const parts = { everywhere, inEveryDress, weigh, walk, forms, live, picturesHold, reading, gearingFlow, buyingFlow, bench, record, measuring, signIn, season, firstDay, askedOnce, awake, fields, onPhone };
  for (const [name, part] of Object.entries(parts)) {
    if (only && only !== name) continue;
    const began = Date.now();
    await part(browser, server, pages);
    console.error(`${name}: ${((Date.now() - began) / 1000).toFixed(0)} s`);
  }
} finally {
  await browser.close();
  const { code } = await server.end();
  await check("the server ends quietly on an interrupt", () => must(code === 0, `it ended with ${code}`));
  const other = await serve("--demo");
  process.kill(other.pid, "SIGTERM");
  await check("the server ends quietly when it is asked to", async () => must((await other.ended).code === 0, "it did not"));
}
close();
// Whatever a failed part left open must not keep a machine waiting.
process.exit();
