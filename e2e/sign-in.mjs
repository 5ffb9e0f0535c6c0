// Coming in and going out on the home network, by the keyboard alone: a wrong password, the right one, a phone paired by
// code, a link for a helper, signing out. Each page on the way is held against the rules and looked at in 320 px.
import { spawn, spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { desk, narrow, phone } from "./browser.mjs";
import { press, reach } from "./hands.mjs";
import { axeFaults, loose, sideways, small } from "./measures.mjs";
import { check, must, none } from "./tally.mjs";

const root = fileURLToPath(new URL("..", import.meta.url));
const binary = process.env.TIGHTSPOT_BINARY ?? `${root}target/debug/tightspot`;
const PASSWORD = "loose spoke gate";

/** A server that asks for a password, with a home of its own; the code that it shows on the terminal. */
async function guarded() {
  const home = mkdtempSync(join(tmpdir(), "tightspot-sign-in-"));
  const env = { ...process.env, HOME: home, XDG_CONFIG_HOME: join(home, "config"), XDG_DATA_HOME: join(home, "data") };
  const set = spawnSync(binary, ["serve", "password"], { env, cwd: home, input: `${PASSWORD}\n` });
  if (set.status !== 0) throw new Error(`the password is not taken: ${set.stderr}`);
  const args = ["--demo", "serve", "--port", "0", "--bind", "0.0.0.0", "--name", "garage.local"];
  const child = spawn(binary, args, { env, cwd: home, stdio: ["ignore", "pipe", "pipe"] });
  let [out, said] = ["", ""];
  child.stdout.on("data", (part) => { out += part; });
  child.stderr.on("data", (part) => { said += part; });
  const until = Date.now() + 10_000;
  while (!(out.includes("\n") && /and type \S.*\n/.test(said))) {
    if (Date.now() > until) throw new Error(`it does not say where it is: ${out}${said}`);
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
  const port = out.trim().replace(/\/$/, "").split(":").pop();
  const end = () => new Promise((resolve) => { child.once("exit", resolve); child.kill("SIGINT"); });
  return { address: `http://127.0.0.1:${port}`, code: said.match(/and type (.+)/)[1].trim(), end: async () => { await end(); rmSync(home, { recursive: true }); } };
}

/** The page as it stands: by the rules where they can run, inside the window, large enough for a thumb. */
async function sound(page, ruled, width) {
  none([...(ruled ? await axeFaults(page) : []), ...(await loose(page)), ...(await sideways(page, width)), ...(await small(page))]);
}

/** Types a password at the sign-in form and sends it, by keyboard. */
async function enter(page, password) {
  await reach(page, "#password");
  await page.keyboard.type(password);
  await press(page, "Enter");
}

export async function signIn(browser) {
  const server = await guarded();
  try {
    for (const [how, dress, ruled] of [["with script", narrow, true], ["without script", { ...phone, javaScriptEnabled: false }, false]]) {
      await flow(browser, server, how, dress, ruled);
    }
    await paired(browser, server);
  } finally {
    await server.end();
  }
}

async function flow(browser, server, how, dress, ruled) {
  const context = await browser.newContext(dress);
  const page = await context.newPage();
  const width = dress.viewport.width;
  const open = (path) => page.goto(server.address + path);

  await check(`whoever is not signed in is led to the door, ${how}`, async () => {
    await open("/drive");
    must(new URL(page.url()).pathname === "/sign-in", page.url());
    must(!(await page.content()).includes("Alder"), "the bike's name is given away");
    await sound(page, ruled, width);
  });

  await check(`a wrong password is told and led to, ${how}`, async () => {
    await enter(page, "loose spoke gates");
    must((await page.title()).startsWith("Error: Sign in"), await page.title());
    must((await page.textContent("[role=alert]")).includes("not the password"), "no summary");
    must(await page.evaluate(() => document.activeElement?.matches("[role=alert]")), "the focus is not on the summary");
    must((await page.inputValue("#password")) === "", "the password is sent back");
    await sound(page, ruled, width);
    await reach(page, "[role=alert] a");
    await page.keyboard.press("Enter");
    must(new URL(page.url()).hash === "#password", "the summary does not lead to the field");
  });

  await check(`the right one leads to where somebody wanted to go, ${how}`, async () => {
    await open("/drive");
    await enter(page, PASSWORD);
    must(new URL(page.url()).pathname === "/drive", page.url());
    const cookies = await context.cookies();
    const session = cookies.find(({ name }) => name.includes("session"));
    must(session?.httpOnly && session.sameSite === "Strict", JSON.stringify(cookies));
    must(!(await page.evaluate(() => document.cookie)).includes("session"), "a script can read the session");
  });

  await check(`a helper sees one page and nothing else, ${how}`, async () => {
    await open("/access");
    await sound(page, ruled, width);
    await reach(page, "form[action='/access/helper'] button");
    await press(page, "Enter");
    const link = await page.getAttribute("a[href^='/help/']", "href");
    const other = await browser.newContext(dress);
    const seen = await other.newPage();
    const answer = await seen.goto(server.address + link);
    must(answer.status() === 200 && (await seen.content()).includes("Shown to you by the bike's owner"), `status ${answer.status()}`);
    must(await seen.evaluate(() => [...document.forms].every((form) => form.getClientRects().length === 0)), "something can be sent");
    await sound(seen, ruled, width);
    await seen.goto(`${server.address}/drive`);
    must(new URL(seen.url()).pathname === "/sign-in", `the helper comes to ${seen.url()}`);
    await reach(page, "form[action='/access/helper/end'] button");
    await press(page, "Enter");
    must((await seen.goto(server.address + link)).status() === 404, "the link still works");
    await other.close();
  });

  await check(`signed out, the door is closed again, ${how}`, async () => {
    await open("/drive");
    await reach(page, "form[action='/sign-out'] button");
    await press(page, "Enter");
    must(new URL(page.url()).pathname === "/sign-in", page.url());
    await open("/drive");
    must(new URL(page.url()).pathname === "/sign-in", `still in: ${page.url()}`);
  });
  await context.close();
}

async function paired(browser, server) {
  await check("a phone is paired by the code, once", async () => {
    const context = await browser.newContext(narrow);
    const page = await context.newPage();
    await page.goto(`${server.address}/pair`);
    await sound(page, true, narrow.viewport.width);
    await reach(page, "#code");
    await page.keyboard.type(server.code);
    await press(page, "Enter");
    must(new URL(page.url()).pathname === "/", page.url());
    const other = await browser.newContext(narrow);
    const late = await other.newPage();
    await late.goto(`${server.address}/pair`);
    await reach(late, "#code");
    await late.keyboard.type(server.code);
    await press(late, "Enter");
    must((await late.textContent("[role=alert]")).includes("not good, or no more"), "the code is good twice");
    await sound(late, true, narrow.viewport.width);
    await other.close();
    await context.close();
  });

  await check("a code made at the desk brings the phone in by its picture's address, and the desk signs it out", async () => {
    const [atDesk, onPhone] = [await browser.newContext(desk), await browser.newContext(phone)];
    const [owner, page] = [await atDesk.newPage(), await onPhone.newPage()];
    await owner.goto(`${server.address}/access`);
    await enter(owner, PASSWORD);
    await reach(owner, "form[action='/access/pair'] button");
    await press(owner, "Enter");
    await sound(owner, true, desk.viewport.width);
    const code = (await owner.textContent("#code ~ p code")).trim();
    // What the camera opens: the code stands behind the hash and goes into the field by itself.
    await page.goto(`${server.address}/pair#${code.replaceAll(" ", "").replaceAll("-", "")}`);
    await page.waitForFunction(() => document.querySelector("#code")?.value !== "");
    await reach(page, "form[action='/pair'] button");
    await press(page, "Enter");
    must(new URL(page.url()).pathname === "/", page.url());
    await owner.goto(`${server.address}/access`);
    must((await owner.textContent("main")).includes("by pairing"), "the phone is not listed");
    for (let count = await owner.locator("form[action='/access/end'] button").count(); count > 0; count -= 1) {
      await reach(owner, "form[action='/access/end'] button");
      await press(owner, "Enter");
    }
    await page.goto(`${server.address}/drive`);
    must(new URL(page.url()).pathname === "/sign-in", "the phone is still in");
    await atDesk.close();
    await onPhone.close();
  });
}
