// The fields of every form: as wide as their answers, checked when they are sent and not while somebody types, marked where
// they may stay empty, days preset; and one main thing to do on a page.
import { desk, narrow, phone } from "./browser.mjs";
import { serve } from "./server.mjs";
import { check, must, none } from "./tally.mjs";

/** Words that say of a group of fields that some of it may stay empty; and of one, that not all of it may. */
const SOME_EMPTY = /leave the others empty|stays open/i;
const ONE_WANTED = /one of these at least/i;

/** The forms of a page with their fields to type in; in folds as well. */
const forms = (page) => page.evaluate(() => [...document.querySelectorAll("main form")].map((form, at) => {
  const fields = [...form.querySelectorAll("input[type=text], input[type=date], textarea")].map((one) => {
    const group = [one.closest("fieldset"), form.previousElementSibling].map((part) => part?.textContent ?? "").join(" ");
    return { name: one.name, type: one.type, value: one.value, label: one.labels[0]?.textContent ?? "", group };
  });
  return { at, fields, words: form.textContent, method: form.method, kind: `${form.method} ${form.getAttribute("action").replace(/\d+/g, "N")}: ${fields.map(({ name }) => name).join()}` };
}));

/** Each form of the pages once, at the first address that has it. */
async function each(page, server, pages, look) {
  const seen = new Set();
  for (const path of pages.flatMap(({ visits }) => visits.slice(0, 6))) {
    const open = () => page.goto(new URL(path, server.address).href);
    await open();
    for (const form of await forms(page)) {
      if (form.fields.length === 0 || seen.has(form.kind)) continue;
      seen.add(form.kind);
      await look(form, open, path);
    }
  }
  return seen.size;
}

/** Sets fields of a form and sends it as a browser without script does; the names of the fields at fault. */
async function sent(page, form, values) {
  await Promise.all([page.waitForNavigation(), page.evaluate(([at, values]) => {
    const form = document.querySelectorAll("main form")[at];
    for (const [name, value] of Object.entries(values)) form.elements[name].value = value;
    form.submit();
  }, [form.at, values])]);
  return page.evaluate(() => [...document.querySelectorAll("main [aria-invalid=true], main .faulty input")].map(({ name }) => name));
}

/** Nothing is called wrong before it is sent. */
async function whileTyped(browser, server, pages) {
  const context = await browser.newContext(desk);
  const page = await context.newPage();
  const count = await each(page, server, pages, (form, open, path) => check(`nothing is called wrong while it is typed, ${path} ${form.kind}`, async () => {
    await open();
    const before = await page.evaluate(() => document.querySelectorAll("main :is(.fault, .fault-summary, [aria-invalid=true])").length);
    const title = await page.title();
    for (const { name, type } of form.fields.filter(({ type }) => type !== "date").slice(0, 2)) {
      const field = page.locator("main form").nth(form.at).locator(`[name="${name}"]`).first();
      await field.evaluate((one) => { for (let at = one.closest("details"); at; at = at.parentElement.closest("details")) at.open = true; });
      await field.fill(type === "textarea" ? "?" : "12 fingers");
    }
    // Answers in place come within half a second.
    await page.waitForTimeout(500);
    const told = await page.evaluate(() => [...document.querySelectorAll("main :is(.fault, .fault-summary, [aria-invalid=true])")].map((one) => one.textContent || one.name));
    must(told.length <= before, told.join(" | "));
    must((await page.title()) === title, await page.title());
  }));
  await check("there are forms to type into", () => must(count >= 30, `${count} forms`));
  await context.close();
}

/** A demo that begins anew whenever something was stored in it, so that every form finds what the first one found. */
async function anew() {
  let running = await serve("--demo");
  const demo = { address: running.address };
  demo.end = () => running.end();
  demo.again = async () => {
    await running.end();
    running = await serve("--demo");
    demo.address = running.address;
  };
  return demo;
}

/** What is not marked is wanted; what is marked is not. */
async function marked(browser, pages) {
  const demo = await anew();
  const context = await browser.newContext({ ...phone, javaScriptEnabled: false });
  const page = await context.newPage();
  await each(page, demo, pages, (form, open, path) => check(`optional is marked and the rest is wanted, ${path} ${form.kind}`, async () => {
    const may = new Set(form.fields.filter(({ label }) => label.includes("(optional)")).map(({ name }) => name));
    const empty = Object.fromEntries(form.fields.map(({ name, value }) => [name, may.has(name) ? "" : value || "1"]));
    const send = async (values) => {
      await open();
      const refused = await sent(page, form, values);
      if (form.method === "post" && !(await page.title()).startsWith("Error: ")) await demo.again();
      return refused;
    };
    for (const { name } of form.fields.filter(({ name, group }) => !may.has(name) && !SOME_EMPTY.test(group))) {
      must((await send({ ...empty, [name]: "" })).includes(name), `${name} is not marked optional and was taken empty`);
    }
    const refused = (await send(empty)).filter((name) => may.has(name));
    if (!ONE_WANTED.test(form.words)) none(refused.map((name) => `${name} is marked optional and was refused empty`));
  }));
  await context.close();
  await demo.end();
}

/** How many digits a field shows, and whether it shows what stands in it. */
const shown = (page) => page.evaluate(() => {
  for (const one of document.querySelectorAll("main details")) one.open = true;
  const ruler = document.createElement("canvas").getContext("2d");
  return [...document.querySelectorAll("main input[type=text]")].filter((one) => one.checkVisibility()).map((one) => {
    const style = getComputedStyle(one);
    ruler.font = `${style.fontSize} ${style.fontFamily}`;
    const room = one.clientWidth - Number.parseFloat(style.paddingLeft) - Number.parseFloat(style.paddingRight);
    return { name: one.name, number: Boolean(one.inputMode), digits: room / ruler.measureText("0").width, cut: one.scrollWidth > one.clientWidth + 1, value: one.value };
  });
});

/** A number's field has room for its digits and not for a sentence; what stands in a field is seen whole. */
async function wide(browser, server, pages) {
  for (const [name, dress] of [["320 px", narrow], ["desk", desk]]) {
    const context = await browser.newContext(dress);
    const page = await context.newPage();
    for (const path of pages.flatMap(({ visits }) => visits.slice(0, 2))) {
      await check(`fields are as wide as their answers, ${name}, ${path}`, async () => {
        await page.goto(new URL(path, server.address).href);
        none((await shown(page)).flatMap(({ name, number, digits, cut, value }) => [
          ...(cut ? [`“${value}” is cut off in ${name}`] : []),
          ...(number && (digits < 4 || digits > 12) ? [`${name} has room for ${digits.toFixed(1)} digits`] : []),
        ]));
      });
    }
    await context.close();
  }
}

/** A page asks for one main thing. */
async function oneThing(browser, server, pages) {
  const context = await browser.newContext(phone);
  const page = await context.newPage();
  for (const path of pages.flatMap(({ visits }) => visits.slice(0, 6))) {
    await check(`one main action, ${path}`, async () => {
      await page.goto(new URL(path, server.address).href);
      const actions = await page.locator("main .button.primary:visible").allTextContents();
      must(actions.length <= 1, actions.join(" | "));
    });
  }
  await context.close();
}

/** A day is preset with today or says that left empty it is now; what is recorded lies in no day to come. */
async function days(browser, server, pages) {
  const context = await browser.newContext({ ...phone, javaScriptEnabled: false });
  const page = await context.newPage();
  const found = [];
  await each(page, server, pages, async (form, open, path) => {
    const day = form.fields.find(({ name }) => name === "at");
    if (!day || form.method !== "post") return;
    found.push(path);
    await check(`the day is preset and lies in no time to come, ${path}`, async () => {
      must(/left empty: now/i.test((await page.textContent("#at-hint").catch(() => "")) ?? "") || /^\d{4}-\d\d-\d\d$/.test(day.value), `“${day.value}” stands there`);
      await open();
      must((await sent(page, form, { at: "2999-01-01" })).includes("at"), "a day to come is taken");
      must((await page.isVisible("#at")) && (await page.inputValue("#at")) === "2999-01-01", "what was typed is gone or folded away");
    });
  });
  await check("there are days to type", () => must(found.length >= 6, found.join()));
  await context.close();
}

export async function fields(browser, shared, pages) {
  const server = await serve("--demo");
  await wide(browser, server, pages);
  await oneThing(browser, server, pages);
  await whileTyped(browser, server, pages);
  await days(browser, server, pages);
  await server.end();
  await marked(browser, pages);
}
