// One walk taken twice: with script at a desk, without it on a phone; and what holds of every page on the way.
import { desk, phone } from "./browser.mjs";
import { axeFaults, loose, sideways } from "./measures.mjs";
import { none } from "./tally.mjs";

/** What a page says, in one line. */
export const text = async (page) => (await page.textContent("main")).replace(/\s+/g, " ");

/** Throws unless a page is for everybody: by the rules (which need its script), no link loose, nothing wider than the window. */
export async function sound(page, scripted = true) {
  none([...(scripted ? await axeFaults(page) : []), ...(await loose(page)), ...(await sideways(page, page.viewportSize().width))]);
}

/** Takes the walk in both ways. */
export async function bothWays(browser, server, walk) {
  for (const [how, dress, scripted] of [["with script", desk, true], ["without script", phone, false]]) {
    const context = await browser.newContext({ ...dress, javaScriptEnabled: scripted });
    const page = await context.newPage();
    const open = (path) => page.goto(new URL(path, server.address).href);
    await walk({ page, how, scripted, open, isSound: () => sound(page, scripted) });
    await context.close();
  }
}
