// The drive measured: length, axle left and right, the look of the teeth, another hour meter. In few taps on a phone, with
// script and without; with the keyboard alone at a desk; form, refusal and verdict by the rules for everybody.
import { desk, phone } from "./browser.mjs";
import { reach, type } from "./hands.mjs";
import { serve } from "./server.mjs";
import { check, must } from "./tally.mjs";
import { sound, text } from "./ways.mjs";

/** Most taps of a reading from the first screen to its verdict, digits not counted. */
const MOST_TAPS = 7;

/** What is done on each form; what is typed wrong first, and the words of the refusal; the words of the verdict. */
const READINGS = [
  {
    kind: "elongation",
    typed: [["length_1", "319,4"], ["length_2", "320,9"], ["length_3", "319,8"]],
    wrong: [["length_1", "31 94"]],
    words: ["Saved.", "Ready with care", "at the limit within reading error", "1.07"],
  },
  {
    kind: "alignment",
    typed: [["left_mm", "605,1"], ["right_mm", "606,1"]],
    wrong: [["left_mm", "605,1"]],
    words: ["Saved.", "Ready with care", "left and right differ by 1.00 mm"],
  },
  {
    kind: "teeth",
    chosen: ["front-teeth-hooked", "rear-teeth"],
    wrong: [],
    words: ["Saved.", "hooked"],
  },
  {
    kind: "meter",
    chosen: ["swapped"],
    typed: [["old", "75,1"], ["new", "0"]],
    wrong: [["hours", "2 o'clock"]],
    words: ["Saved.", "75.1", "0"],
  },
];

const away = (page, act) => Promise.all([page.waitForNavigation(), act()]);
const send = "main form button.primary";

/** A reading is taken by thumb, from the first screen on. */
async function byThumb(page, server, { kind, typed = [], chosen = [], words }) {
  let taps = 0;
  const tap = async (selector) => { taps += 1; await page.tap(selector); };
  await page.goto(server.address);
  for (const to of ["/drive/measure", `/drive/measure/${kind}`]) await away(page, () => tap(`main a[href='${to}']`));
  for (const id of chosen) await tap(`label[for='${id}']`);
  for (const [field, value] of typed) {
    if ((await page.inputValue(`#${field}`)) === value) continue;
    await tap(`#${field}`);
    await page.keyboard.type(value);
  }
  await away(page, () => tap(send));
  must(taps <= MOST_TAPS, `${taps} taps`);
  const told = await text(page);
  for (const one of words) must(told.includes(one), `${one}: ${told.slice(0, 600)}`);
}

/** The same with the keyboard alone; a group of choices is entered by Tab and walked by arrows. */
async function byKeyboard(page, server, { kind, typed = [], chosen = [], words }) {
  await page.goto(new URL(`/drive/measure/${kind}`, server.address).href);
  for (const id of chosen) {
    const first = await page.evaluate((id) => document.querySelector(`input[name='${document.getElementById(id).name}']`).id, id);
    await reach(page, `#${first}`);
    await page.keyboard.press("Space");
    for (let steps = 0; steps < 10 && !(await page.isChecked(`#${id}`)); steps += 1) await page.keyboard.press("ArrowDown");
    must(await page.isChecked(`#${id}`), `${id} is not chosen`);
  }
  for (const [field, value] of typed) await type(page, field, value);
  // Enter in a field sends a form; after choices alone its button is walked to.
  if (typed.length === 0) await reach(page, send);
  await away(page, () => page.keyboard.press("Enter"));
  const told = await text(page);
  for (const one of words) must(told.includes(one), `${one}: ${told.slice(0, 600)}`);
}

export async function measuring(browser) {
  for (const reading of READINGS) {
    for (const javaScriptEnabled of [true, false]) {
      const how = javaScriptEnabled ? "with script" : "without script";
      const server = await serve("--demo");
      const context = await browser.newContext({ ...phone, javaScriptEnabled });
      const page = await context.newPage();
      await check(`${reading.kind} is measured in at most ${MOST_TAPS} taps, ${how}`, () => byThumb(page, server, reading));
      await context.close();
      await server.end();
    }
    const server = await serve("--demo");
    const context = await browser.newContext(desk);
    const page = await context.newPage();
    await check(`${reading.kind} is measured with the keyboard alone, and its verdict is for everybody`, async () => {
      await byKeyboard(page, server, reading);
      await sound(page);
    });
    await check(`${reading.kind}: what is wrong is named and what was typed stays`, async () => {
      await page.goto(new URL(`/drive/measure/${reading.kind}`, server.address).href);
      await sound(page);
      for (const [field, value] of reading.wrong) await page.fill(`#${field}`, value);
      await away(page, () => page.click(send));
      must((await page.title()).startsWith("Error: "), await page.title());
      for (const [field, value] of reading.wrong) must((await page.inputValue(`#${field}`)) === value, `${field} is gone`);
      await sound(page);
    });
    await context.close();
    await server.end();
  }
}
