// What is measured on a page as it stands: run in the page, give back sentences about what is wrong.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];
const off = { "target-size": { enabled: true }, "css-orientation-lock": { enabled: true } };

/** Violations of the accessibility rules, each with its first place. */
export async function axeFaults(page) {
  await page.evaluate(axe);
  // The rules look at one scroll position: what a fixed bar hides there, one flick brings out. The bars are laid into
  // the flow for them; that no bar hides what has the focus is walked through in keyboard.mjs.
  await page.evaluate(() => {
    const sheet = new CSSStyleSheet();
    sheet.replaceSync(".places, .actions { position: static !important; }");
    document.adoptedStyleSheets = [sheet];
  });
  const result = await page.evaluate(([tags, rules]) => axe.run(document, { runOnly: { type: "tag", values: tags }, rules, resultTypes: ["violations", "incomplete"] }), [tags, off]);
  await page.evaluate(() => { document.adoptedStyleSheets = []; });
  const open = result.incomplete.filter((one) => !reviewed.has(one.id));
  return [...result.violations, ...open].map((one) => `${one.id}: ${one.help} – ${one.nodes[0]?.target.join(" ")} (${one.nodes.length}×) ${one.nodes[0]?.any?.[0]?.message ?? ""}`);
}

// Rules that the machine leaves open here, each looked at by hand or measured by a check of our own.
const reviewed = new Set([
  "color-contrast", // text over pictures and gradients: `contrast` below computes it
]);

/** Opens every fold. */
export const unfold = (page) => page.evaluate(() => document.querySelectorAll("details").forEach((one) => { one.open = true; }));

/** How far the page reaches sideways beyond its configured width. */
export const sideways = (page, width) => page.evaluate((width) => {
  const reach = document.documentElement.scrollWidth;
  if (reach <= width) return [];
  const far = [...document.querySelectorAll("body *")].find((one) => one.getBoundingClientRect().right > width + 0.5 && !one.closest(".scroll, pre, .unseen, svg svg"));
  return [`${reach} px wide on ${width}: ${far ? `${far.tagName}.${far.getAttribute("class")}` : "?"}`];
}, width);

/** Things to press that are smaller than a thumb. */
export const small = (page) => page.evaluate(() => {
  const least = document.querySelector("main.bench") ? 48 : 44;
  const pressed = "button, .button, select, textarea, summary, input:not([type=hidden]), nav a, .list a, .bike";
  return [...document.querySelectorAll(pressed)].flatMap((one) => {
    const target = one.matches("[type=radio], [type=checkbox]") ? one.closest(".option") ?? one : one;
    const box = target.getBoundingClientRect();
    const wanted = one.closest("main") ? least : 44;
    if (box.width === 0 || (box.height >= wanted - 0.5 && box.width >= Math.min(wanted, 44) - 0.5)) return [];
    return [`${one.tagName} “${(one.textContent || one.name || "").trim().slice(0, 30)}” is ${box.width.toFixed(0)} × ${box.height.toFixed(0)} px, ${wanted} wanted`];
  });
});

/** Figures, verdicts and their like below seven to one, other text below 4.5 to one. */
export const contrast = (page) => page.evaluate(() => {
  const canvas = new OffscreenCanvas(1, 1).getContext("2d", { willReadFrequently: true });
  const rgba = (colour) => {
    canvas.clearRect(0, 0, 1, 1);
    canvas.fillStyle = colour;
    canvas.fillRect(0, 0, 1, 1);
    return [...canvas.getImageData(0, 0, 1, 1).data];
  };
  const light = ([r, g, b]) => {
    const [x, y, z] = [r, g, b].map((part) => part / 255).map((part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4));
    return 0.2126 * x + 0.7152 * y + 0.0722 * z;
  };
  const behind = (one) => {
    for (let at = one; at; at = at.parentElement) {
      const colour = rgba(getComputedStyle(at).backgroundColor);
      if (colour[3] === 255) return colour;
    }
    return [255, 255, 255, 255];
  };
  const strict = ".figure-value, .verdict, .tag, .answers b, .fault, .caution, td, .reason-says";
  const faults = new Map();
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const one = walker.currentNode.parentElement;
    if (!walker.currentNode.data.trim() || one.closest(".unseen, .skip, script, title, desc, option") || !one.checkVisibility()) continue;
    const style = getComputedStyle(one);
    const [front, back] = [light(rgba(one instanceof SVGElement ? style.fill : style.color)), light(behind(one))];
    const ratio = (Math.max(front, back) + 0.05) / (Math.min(front, back) + 0.05);
    const wanted = one.closest(strict) ? 7 : 4.5;
    if (ratio < wanted) faults.set(one.className.baseVal ?? one.className, `“${walker.currentNode.data.trim().slice(0, 30)}” stands at ${ratio.toFixed(2)} to 1, ${wanted} wanted`);
  }
  return [...faults.values()];
});

/** Text in pictures that is shown below twelve pixels. */
export const pictureText = (page) => page.evaluate(() =>
  [...document.querySelectorAll("svg text")].flatMap((one) => {
    const scale = Math.abs(one.getScreenCTM()?.d ?? 0);
    const size = Number.parseFloat(getComputedStyle(one).fontSize) * scale;
    return one.checkVisibility() && size < 12 ? [`“${one.textContent}” is shown at ${size.toFixed(1)} px`] : [];
  }));

/** Words of pictures that stick out of the window. */
export const cutText = (page, width) => page.evaluate((width) =>
  [...document.querySelectorAll("svg text")].flatMap((one) => {
    const box = one.getBoundingClientRect();
    return one.checkVisibility() && box.width > 0 && (box.left < 0 || box.right > width + 0.5) ? [`“${one.textContent}” is cut off`] : [];
  }), width);

/** Ids used twice, links into the page that lead nowhere. */
export const loose = (page) => page.evaluate(() => {
  const ids = [...document.querySelectorAll("[id]")].map((one) => one.id);
  const twice = ids.filter((id, at) => ids.indexOf(id) !== at).map((id) => `id “${id}” stands twice`);
  const lost = [...document.querySelectorAll("a[href^='#']")].filter((one) => !document.getElementById(decodeURIComponent(one.hash.slice(1))));
  return [...twice, ...lost.map((one) => `${one.hash} leads nowhere`)];
});
