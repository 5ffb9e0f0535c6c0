// Starts the binary on a free port and reads its address from the first line it prints.
import { spawn } from "node:child_process";
import { createInterface } from "node:readline";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("..", import.meta.url));
export const binary = process.env.TIGHTSPOT_BINARY ?? `${root}target/debug/tightspot`;

// A part that failed leaves its server running: it goes with the tests.
const running = new Set();
process.once("exit", () => running.forEach((child) => child.kill()));

/** Runs `tightspot serve` with more arguments; resolves to its address and a way to end it. */
export async function serve(...more) {
  const child = spawn(binary, ["serve", "--port", "0", ...more], { stdio: ["ignore", "pipe", "inherit"] });
  running.add(child);
  child.once("exit", () => running.delete(child));
  const ended = new Promise((resolve) => child.once("exit", (code, signal) => resolve({ code, signal })));
  const lines = createInterface({ input: child.stdout });
  const first = await Promise.race([
    new Promise((resolve) => lines.once("line", resolve)),
    ended.then(({ code }) => { throw new Error(`the server ended with ${code} before it said its address`); }),
    new Promise((_, reject) => setTimeout(reject, 10_000, new Error("no address after 10 s")).unref()),
  ]);
  if (!/^http:\/\/127\.0\.0\.1:\d+\/$/.test(first)) throw new Error(`first line is no address: ${first}`);
  const end = () => { child.kill("SIGINT"); return ended; };
  return { address: first, end, ended, pid: child.pid };
}
