// The machine's own Chromium, cut off from everything but the server under test.
import { execFileSync } from "node:child_process";
import { chromium } from "playwright-core";

const flags = [
  "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
  "--disable-component-update", "--disable-sync", "--disable-dev-shm-usage",
];

/** A fresh browser; close it when done. */
export async function browse() {
  const executablePath = execFileSync("sh", ["-c", "command -v chromium"], { encoding: "utf8" }).trim();
  return chromium.launch({ executablePath, args: flags, headless: true });
}

/** The dresses in which every page is looked at. */
export const phone = { viewport: { width: 390, height: 844 }, deviceScaleFactor: 2, isMobile: true, hasTouch: true };
export const narrow = { ...phone, viewport: { width: 320, height: 640 } };
export const desk = { viewport: { width: 1280, height: 900 }, deviceScaleFactor: 1 };
