// Counts what holds. One line for each fault, one closing line for all.
const counts = { passed: 0, failed: 0 };

/** Runs one check; whatever it throws is its fault. */
export async function check(name, run) {
  try {
    await run();
    counts.passed += 1;
  } catch (fault) {
    counts.failed += 1;
    console.error(`FAILED ${name}\n  ${String(fault?.message ?? fault).split("\n").join("\n  ")}`);
  }
}

/** Throws unless something holds. */
export function must(holds, words) {
  if (!holds) throw new Error(words);
}

/** Throws unless a list of faults is empty. */
export function none(faults) {
  if (faults.length > 0) throw new Error(faults.join("\n"));
}

/** Prints the closing line; the exit status says whether all held and anything ran. */
export function close() {
  console.log(`${counts.passed} passed, ${counts.failed} failed`);
  process.exitCode = counts.failed === 0 && counts.passed > 0 ? 0 : 1;
}
