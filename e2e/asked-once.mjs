// Nothing is asked twice: what was typed on one page of a flow stands in every later field of the same name or the same
// words, or is not asked any more; and nobody is asked which bike it is.
import { phone } from "./browser.mjs";
import { serve } from "./server.mjs";
import { check, must, none } from "./tally.mjs";

/** What the fields of a page ask, and what stands in them. */
const asked = (page) => page.evaluate(() => {
  // What is asked, without its unit and without the mark of what may stay empty.
  const words = (one) => [...(one?.childNodes ?? [])].filter((part) => !part.matches?.(".unseen, .optional")).map((part) => part.textContent).join("").trim();
  const all = [...document.querySelectorAll("main form :is(input:not([type=hidden], [type=checkbox], [type=file]), select, textarea)")];
  return all.filter((one) => one.type !== "radio" || one.checked).map((one) => ({
    name: one.name,
    label: words(one.type === "radio" ? one.closest("fieldset").querySelector("legend") : one.labels[0]),
    value: one.value,
  }));
});

/** A way through pages that remembers what was typed. */
class Flow {
  constructor(page, server) {
    Object.assign(this, { page, server, typed: new Map() });
  }

  async open(path) {
    await this.page.goto(new URL(path, this.server.address).href);
    await this.here();
  }

  /** Types into a field, which is unfolded for it. */
  async type(name, value) {
    const field = this.page.locator(`main form [name='${name}']:not([type=hidden])`).first();
    await field.evaluate((one) => { for (let at = one.closest("details"); at; at = at.parentElement.closest("details")) at.open = true; });
    if (await field.evaluate((one) => one.matches("select"))) await field.selectOption(value);
    else await field.fill(value);
    const { label } = (await asked(this.page)).find((one) => one.name === name);
    this.typed.set(name, value).set(label, value);
  }

  /** Chooses one of a few. */
  async choose(name, value) {
    await this.page.locator(`main form [name='${name}'][value='${value}']`).check();
    this.typed.set(name, value);
  }

  async go(selector) {
    await Promise.all([this.page.waitForNavigation(), this.page.locator(selector).first().click()]);
    await this.here();
  }

  /** What the page asks that was told before. */
  async here() {
    const faults = [];
    for (const { name, label, value } of await asked(this.page)) {
      if (/^(which )?bike$/i.test(label)) faults.push(`it asks which bike it is`);
      for (const key of new Set([name, label])) {
        if (this.typed.has(key) && this.typed.get(key) !== value) faults.push(`“${label}” (${name}) holds “${value}”, “${this.typed.get(key)}” was typed`);
      }
    }
    none(faults.map((fault) => `${this.page.url()}: ${fault}`));
  }

  async holds(field, value) {
    must((await this.page.inputValue(`#${field}`)) === value, `${field} holds “${await this.page.inputValue(`#${field}`)}”, “${value}” was typed`);
  }
}

const send = "main form button[type=submit]";

/** Each flow, from its first page to its last. */
const flows = {
  "a pair for a ride": async (flow) => {
    await flow.open("/gearing/fit");
    await flow.type("front_teeth", "13");
    await flow.type("rear_teeth", "49");
    await flow.go(send);
    for (const to of ["/gearing/map", "/parts/check", "/gearing?"]) {
      const back = flow.page.url();
      await flow.go(`main a[href^='${to}']`);
      await flow.page.goto(back);
    }
    await flow.open("/gearing/wish");
    await flow.type("crawl_kmh", "11");
    await flow.type("shelf", "13, 14, 48, 50");
    await flow.go(send);
  },
  "a set on the bench": async (flow) => {
    await flow.open("/jobs/start?job=rear-sprocket-only");
    await flow.type("rear_teeth", "50");
    await flow.go("main form[method=get] button[type=submit]");
    await flow.go("main form[method=post] button.primary");
    must(flow.page.url().includes("/gather"), flow.page.url());
    const order = new URL(flow.page.url()).pathname.replace("/gather", "");
    const told = new Set();
    for (let step = 1; step <= 40; step += 1) {
      await flow.open(`${order}?step=${step}`);
      if (flow.page.url().endsWith("/close")) break;
      while (await flow.page.locator("form[action$='/figure']").count()) {
        const form = flow.page.locator("form[action$='/figure']").first();
        const name = await form.locator("input[type=text]").first().getAttribute("name");
        must(!told.has(name), `${name} is asked again at step ${step}`);
        told.add(name);
        await form.locator(`[name='${name}']`).fill("60");
        await form.locator("[name=source]").fill("manual, p. 12");
        await flow.go("form[action$='/figure'] button[type=submit]");
      }
    }
    must(told.size > 0, "no figure was asked at all");
    await flow.open(`${order}/figures`);
    must((await flow.page.textContent("main")).includes("manual, p. 12"), "the source is lost");
  },
  "a ride": async (flow) => {
    await flow.open("/rides/log");
    const { value: today } = (await asked(flow.page)).find(({ name }) => name === "at");
    must(/^\d{4}-\d\d-\d\d$/.test(today), `today is not preset: “${today}”`);
    await flow.type("hours", "2:45");
    await flow.type("ground", "moor");
    await flow.choose("odd", "clunk");
    await flow.type("meter", "a lot");
    await flow.type("note", "wet after noon");
    await flow.go(send);
    must((await flow.page.title()).startsWith("Error: "), "it is taken as it is");
    await flow.type("meter", "");
    await flow.go(send);
    must(flow.page.url().includes("/rides/logged/"), flow.page.url());
  },
  "slack": async (flow) => {
    await flow.open("/drive/measure/slack");
    for (const at of [1, 2, 3]) await flow.type(`slack_${at}`, "85");
    await flow.type("slack_4", "8 fingers");
    await flow.choose("kind", "free");
    await flow.type("note", "cold");
    await flow.go(send);
    must((await flow.page.title()).startsWith("Error: "), "it is taken as it is");
    await flow.type("slack_4", "84");
    await flow.go(send);
    must((await flow.page.textContent("main")).includes("Saved."), flow.page.url());
  },
  "before buying": async (flow) => {
    await flow.open("/parts/check");
    await flow.type("links", "118");
    await flow.type("size", "520");
    await flow.type("chain_price", "92 EUR");
    await flow.type("lead_d", "9");
    await flow.go(send);
    await flow.go("main a[href^='/parts/note?role=chain']");
    await flow.holds("role", "chain");
    await flow.holds("price", "92 EUR");
    await flow.holds("lead_d", "9");
  },
  "the season": async (flow) => {
    await flow.open("/rides/season");
    await flow.type("from", "2026-04-01");
    await flow.type("to", "2026-06-30");
    await flow.go("main form[action='/rides/season'] button[type=submit]");
  },
};

export async function askedOnce(browser) {
  for (const javaScriptEnabled of [true, false]) {
    const how = javaScriptEnabled ? "with script" : "without script";
    const server = await serve("--demo");
    for (const [name, walk] of Object.entries(flows)) {
      const context = await browser.newContext({ ...phone, javaScriptEnabled });
      const page = await context.newPage();
      await check(`nothing is asked twice: ${name}, ${how}`, () => walk(new Flow(page, server)));
      await context.close();
    }
    await server.end();
  }
}
