// Every address in every dress: accessible, inside the window, quiet on the console, light to carry.
import { desk, narrow, phone } from "./browser.mjs";
import { check, must, none } from "./tally.mjs";
import { axeFaults, contrast, cutText, loose, pictureText, sideways, small, unfold } from "./measures.mjs";

/** Name, the context's options, the medium. */
const dresses = [
  ["phone light", { ...phone, colorScheme: "light" }, "screen"],
  ["phone dark", { ...phone, colorScheme: "dark" }, "screen"],
  ["320 px", { ...narrow, colorScheme: "light" }, "screen"],
  ["desk dark", { ...desk, colorScheme: "dark" }, "screen"],
  ["without script", { ...phone, javaScriptEnabled: false }, "screen"],
  ["print", { ...desk, viewport: { width: 794, height: 1123 } }, "print"],
];
/** Most that a page may weigh on the way, with its style sheet and script. */
const WEIGHT_KIB = 60;
/** In the first dress so many addresses of one page are looked at closely, in each other dress so many. */
const [CLOSELY, AGAIN] = [12, 3];

/** Some of a page's addresses, spread from the first to the last. */
const some = (visits, most) => (visits.length <= most ? visits : Array.from({ length: most }, (_, at) => visits[Math.round((at * (visits.length - 1)) / (most - 1))]));
const spread = (pages, most) => pages.flatMap(({ visits }) => some(visits, most));

export async function inEveryDress(browser, server, pages) {
  for (const [name, options, media] of dresses) {
    const context = await browser.newContext(options);
    const page = await context.newPage();
    await page.emulateMedia({ media });
    const said = [];
    page.on("console", (message) => said.push(`${message.type()}: ${message.text()}`));
    page.on("pageerror", (fault) => said.push(`fault: ${fault}`));
    // Leaving a page ends what it was still fetching (its icon, mostly): that is no fault of the page.
    page.on("requestfailed", (request) => request.failure().errorText === "net::ERR_ABORTED" || said.push(`request failed: ${request.url()}`));
    for (const path of spread(pages, name === dresses[0][0] ? CLOSELY : AGAIN)) {
      await check(`${name} ${path}`, async () => {
        said.length = 0;
        const answer = await page.goto(new URL(path, server.address).href);
        must([200, 422].includes(answer.status()), `status ${answer.status()}`);
        // In the narrowest window every fold is open: what it holds must keep the rules, too.
        if (options.viewport.width === narrow.viewport.width) await unfold(page);
        const width = options.viewport.width;
        const title = await page.title();
        must(/^(Error: )?.+ – .+ – tightspot$/.test(title), `title “${title}”`);
        must(title.startsWith("Error: ") === (answer.status() === 422), `title “${title}” at ${answer.status()}`);
        // Without script the page runs no timers, so the rules cannot; the same page was held against them with it.
        const ruled = options.javaScriptEnabled ?? true;
        none([
          ...(ruled ? await axeFaults(page) : []),
          ...(await sideways(page, width)),
          ...(await loose(page)),
          ...(await contrast(page)),
          ...(media === "print" ? [] : [...(await small(page)), ...(await pictureText(page)), ...(await cutText(page, width))]),
          // A refused form is 422 by design; the browser says so in its console.
          ...said.filter((line) => !line.includes("status of 422")),
        ]);
      });
    }
    await context.close();
  }
}

/** Every address there is: answered, quiet, inside the narrowest window. */
export async function everywhere(browser, server, pages) {
  const context = await browser.newContext(narrow);
  const page = await context.newPage();
  const said = [];
  page.on("console", (message) => said.push(`${message.type()}: ${message.text()}`));
  page.on("pageerror", (fault) => said.push(`fault: ${fault}`));
  for (const path of pages.flatMap(({ visits }) => visits)) {
    await check(`everywhere ${path}`, async () => {
      said.length = 0;
      const answer = await page.goto(new URL(path, server.address).href);
      must([200, 422].includes(answer.status()), `status ${answer.status()}`);
      none([...(await sideways(page, narrow.viewport.width)), ...(await loose(page)), ...said.filter((line) => !line.includes("status of 422"))]);
    });
  }
  await context.close();
}

/** What travels for a page on the first visit. */
export async function weigh(browser, server, pages) {
  for (const path of spread(pages, AGAIN)) {
    await check(`weight ${path}`, async () => {
      const context = await browser.newContext(phone);
      const page = await context.newPage();
      const cdp = await context.newCDPSession(page);
      await cdp.send("Network.enable");
      let bytes = 0;
      cdp.on("Network.loadingFinished", ({ encodedDataLength }) => { bytes += encodedDataLength; });
      await page.goto(new URL(path, server.address).href, { waitUntil: "networkidle" });
      must(bytes > 0 && bytes <= WEIGHT_KIB * 1024, `${(bytes / 1024).toFixed(1)} KiB, at most ${WEIGHT_KIB} wanted`);
      await context.close();
    });
  }
}
