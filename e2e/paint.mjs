// How soon a phone shows each page: the largest paint at 4 x slower CPU on a phone's screen, beside a bare page of one
// paragraph in the same run. A measurement, not a test: `node e2e/paint.mjs [--store FILE]`, on a quiet machine, with
// TIGHTSPOT_BINARY=target/release/tightspot. Ends with 1 where a page takes longer than 400 ms.
import { createServer } from "node:http";
import { browse, phone } from "./browser.mjs";
import { serve } from "./server.mjs";

const BAR_MS = 400;
const ROUNDS = 3;
const SLOWER = 4;

const bare = createServer((_, answer) => {
  answer.setHeader("content-type", "text/html; charset=utf-8");
  answer.end("<!DOCTYPE html><html lang=en><title>bare</title><p>Hello, this is one paragraph.</p></html>");
});
await new Promise((resolve) => bare.listen(0, "127.0.0.1", resolve));

const more = process.argv.slice(2);
const server = await serve(...(more.length ? more : ["--demo"]));
const browser = await browse();

/** The largest paint of a page opened anew, ms: the middle of a few. */
async function painted(address) {
  const seen = [];
  for (let round = 0; round < ROUNDS; round += 1) {
    const context = await browser.newContext(phone);
    const page = await context.newPage();
    const session = await context.newCDPSession(page);
    await session.send("Emulation.setCPUThrottlingRate", { rate: SLOWER });
    await page.goto(address, { waitUntil: "load" });
    seen.push(await page.evaluate(() => new Promise((resolve) => {
      let last = NaN;
      new PerformanceObserver((list) => { last = list.getEntries().at(-1).startTime; })
        .observe({ type: "largest-contentful-paint", buffered: true });
      setTimeout(() => resolve(last), 300);
    })));
    await context.close();
  }
  return seen.sort((one, other) => one - other)[ROUNDS >> 1];
}

let late = 0;
try {
  const { pages } = await (await fetch(new URL("/api/v1/routes", server.address))).json();
  const hello = await painted(`http://127.0.0.1:${bare.address().port}/`);
  console.log(`${"bare page".padEnd(36)} ${hello.toFixed(0).padStart(5)} ms`);
  // A page that this record has nothing for is visited by nobody.
  for (const { visits } of pages.filter((page) => page.visits.length)) {
    const took = await painted(new URL(visits[0], server.address).href);
    const held = took <= BAR_MS;
    late += held ? 0 : 1;
    console.log(`${visits[0].slice(0, 36).padEnd(36)} ${took.toFixed(0).padStart(5)} ms ${(took / hello).toFixed(1).padStart(5)} x${held ? "" : "   over the bar"}`);
  }
} finally {
  await browser.close();
  await server.end();
  bare.close();
}
console.log(late ? `${late} pages over ${BAR_MS} ms` : `every page under ${BAR_MS} ms`);
process.exitCode = late ? 1 : 0;
