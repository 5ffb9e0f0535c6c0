// Charts and drawings say in the picture what they say in words.
import { desk, narrow } from "./browser.mjs";
import { unfold } from "./measures.mjs";
import { check, must, none } from "./tally.mjs";

export async function picturesHold(browser, server, pages) {
  for (const [name, dress] of [["desk", desk], ["320 px", narrow]]) {
    const context = await browser.newContext(dress);
    const page = await context.newPage();
    for (const path of pages.flatMap(({ visits }) => visits.slice(0, 2))) {
      await page.goto(new URL(path, server.address).href);
      if ((await page.locator(".chart, .drawing").count()) === 0) continue;
      await unfold(page);
      await check(`pictures, ${name}, ${path}`, async () => none(await page.evaluate(pictureFaults)));
    }
    await context.close();
  }
  await check("a drawing's words stand where its pieces are", async () => {
    const context = await browser.newContext(desk);
    const page = await context.newPage();
    await page.goto(new URL("/kit", server.address).href);
    const gap = await page.evaluate(() => {
      const axle = document.querySelector("[data-id=axle]").getBoundingClientRect();
      const word = [...document.querySelectorAll(".on-drawing text")].find((one) => one.textContent === "axle").getBoundingClientRect();
      return Math.abs(axle.left + axle.width / 2 - (word.left + word.width / 2));
    });
    must(gap < 2, `the word stands ${gap.toFixed(1)} px beside its spot`);
    await context.close();
  });
}

/** In the page: what is wrong with its pictures. */
function pictureFaults() {
  const faults = [];
  for (const chart of document.querySelectorAll(".chart")) {
    const picture = chart.querySelector("svg[role=img]");
    const rows = chart.querySelectorAll("tbody tr").length;
    const dots = new Set([...chart.querySelectorAll(".mark-at")].map((one) => one.getAttribute("x")));
    if (picture.firstElementChild.tagName !== "title") faults.push("the title is not first");
    if (rows === 0 || dots.size > rows) faults.push(`${dots.size} marks and ${rows} rows in ${picture.id}`);
    for (const line of chart.querySelectorAll(".line, .limit")) {
      if (Number.parseFloat(getComputedStyle(line).strokeWidth) < 2) faults.push("a line is thinner than 2 px");
    }
    const looks = [...chart.querySelectorAll(".line")].map((one) => getComputedStyle(one).strokeDasharray);
    if (new Set(looks).size !== looks.length) faults.push(`two lines with the same dash: ${looks.join(" | ")}`);
    const words = [...chart.querySelectorAll(".label")].map((one) => one.getBoundingClientRect());
    words.forEach((one, at) => words.slice(0, at).forEach((other) => {
      const over = Math.min(one.bottom, other.bottom) - Math.max(one.top, other.top);
      const beside = Math.min(one.right, other.right) - Math.max(one.left, other.left);
      if (over > 4 && beside > 0) faults.push("two labels lie over each other");
    }));
  }
  for (const drawing of document.querySelectorAll(".drawing")) {
    const bar = drawing.querySelector("[data-id=scale_bar]");
    // A drawing without a bar shows an order or a direction, not a length.
    if (!bar && drawing.querySelector("[data-id=axle]")) faults.push("the drive is drawn without its scale bar");
    const length = bar ? bar.x2.baseVal.value - bar.x1.baseVal.value : 0;
    const words = [...drawing.querySelectorAll(".on-drawing text")].map((one) => one.textContent);
    if (bar && !words.includes(`${Math.round(length)} mm`)) faults.push(`the scale bar is ${length} mm, the words are ${words}`);
    const [svg, over] = [drawing.querySelector(".to-scale"), drawing.querySelector(".on-drawing")].map((one) => one.getBoundingClientRect());
    if (Math.abs(svg.width - over.width) > 1 || Math.abs(svg.height - over.height) > 1) faults.push("the words do not lie on the drawing");
    const matrix = drawing.querySelector(".to-scale").getScreenCTM();
    if (Math.abs(matrix.a - matrix.d) > 1e-6) faults.push("the drawing is stretched");
  }
  return faults;
}
