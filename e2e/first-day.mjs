// The first day of a bike bought used, by the keyboard alone, with script and without: a range typed wrong and put right,
// kept, corrected, taken back; and what "can I ride" makes of each.
import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { desk, phone } from "./browser.mjs";
import { press, reach, type } from "./hands.mjs";
import { axeFaults, loose, sideways } from "./measures.mjs";
import { binary, serve } from "./server.mjs";
import { check, must, none } from "./tally.mjs";

const sheet = fileURLToPath(new URL("../data/bikes/alder-350.toml", import.meta.url));
const PAGE = "/drive/first-day";
const keep = `form[method=post][action='${PAGE}'] button[type=submit]`;

const text = async (page) => (await page.textContent("main")).replace(/\s+/g, " ");

/** A bike whose chain was read once, today, and nothing else known of its hours. */
function bought(store) {
  const say = (...words) => execFileSync(binary, ["--store", store, ...words], { stdio: ["ignore", "ignore", "inherit"] });
  say("bike", "import", sheet);
  say("bike", "set", "oil_interval_h=");
  say("drive", "measure", "slack", "85", "85", "85");
  say("drive", "measure", "elongation", "319.4", "319.4", "319.4", "--error", "0.05");
}

/** Types a range and asks. */
async function ask(page, low, high) {
  await type(page, "low", low);
  await type(page, "high", high);
  await press(page, "Enter");
}

export async function firstDay(browser) {
  for (const javaScriptEnabled of [true, false]) {
    const how = javaScriptEnabled ? "with script" : "without script";
    const folder = mkdtempSync(join(tmpdir(), "first-day-"));
    const store = join(folder, "record.tightspot");
    bought(store);
    const server = await serve("--store", store);
    const dress = javaScriptEnabled ? desk : phone;
    const context = await browser.newContext({ ...dress, javaScriptEnabled });
    const page = await context.newPage();
    const open = (path) => page.goto(new URL(path, server.address).href);
    const sound = async () => none([...(javaScriptEnabled ? await axeFaults(page) : []), ...(await loose(page)), ...(await sideways(page, dress.viewport.width))]);
    const home = async () => { await open("/"); return text(page); };

    await check(`a range that is none is named, stays, and is put right by keyboard, ${how}`, async () => {
      must(!(await home()).includes("the worst end"), "a range stands before it is typed");
      await open("/pages");
      await reach(page, `main a[href='${PAGE}']`);
      await press(page, "Enter");
      await ask(page, "80", "forty");
      must((await page.title()).startsWith("Error: "), `title “${await page.title()}”`);
      must((await page.inputValue("#low")) === "80" && (await page.inputValue("#high")) === "forty", "the typed text is gone");
      await ask(page, "80", "40");
      must((await text(page)).includes("40 h lies below 80 h"), await text(page));
      await sound();
      await ask(page, "40", "80");
      const told = await text(page);
      must(!(await page.title()).startsWith("Error: ") && told.includes("40 to 80 h on it"), told.slice(0, 400));
      must((await page.locator("main .button.primary").count()) === 1, "two main actions");
      await sound();
      must(!(await home()).includes("the worst end"), "asking has kept it");
    });

    await check(`a range that is kept is honoured by the verdict, ${how}`, async () => {
      await open(PAGE);
      await ask(page, "40", "80");
      await reach(page, keep);
      await press(page, "Enter");
      const told = await text(page);
      for (const words of ["Saved.", "Kept: 40 to 80 h said on", "What would narrow it"]) must(told.includes(words), `${words}: ${told.slice(0, 600)}`);
      must((await page.locator("[role=status]").allTextContents()).some((one) => one.includes("Saved.")), "it is not announced");
      await sound();
      await page.reload();
      const verdict = await home();
      must(/With 40 to 80 h \(40 to 80 h said on [^)]*\) on it this chain has .* left/.test(verdict), verdict.slice(0, 900));
      must(verdict.includes("the worst end outlasts the ride"), "the worst end is not judged");
    });

    await check(`it is corrected, and the correction is honoured, ${how}`, async () => {
      await open(PAGE);
      await ask(page, "14", "18");
      must((await text(page)).includes("Only asked. Kept is another range: 40 to 80 h"), await text(page));
      await reach(page, "#instead_of");
      await page.keyboard.press("Space");
      await reach(page, keep);
      await press(page, "Enter");
      const told = await text(page);
      must(told.includes("Kept: 14 to 18 h") && !told.includes("40 to 80 h"), told.slice(0, 600));
      const verdict = await home();
      must(verdict.includes("With 14 to 18 h") && !verdict.includes("40 to 80 h"), verdict.slice(0, 900));
    });

    await check(`the correction is taken back, then the range itself, ${how}`, async () => {
      await open("/history");
      await reach(page, "form[action='/history/undo'] button");
      await press(page, "Enter");
      must((await home()).includes("With 40 to 80 h"), "the range before does not stand again");
      await open(PAGE);
      await ask(page, "20", "90");
      await reach(page, keep);
      await press(page, "Enter");
      must((await home()).includes("With 20 to 90 h"), "the later range does not count");
      await page.goBack();
      await reach(page, "form[action='/history/undo'] button");
      await press(page, "Enter");
      must((await text(page)).includes("is taken back"), page.url());
      must((await home()).includes("With 40 to 80 h"), "the earlier range does not stand again");
    });
    await context.close();
    await server.end();
    rmSync(folder, { recursive: true, force: true });
  }
}
