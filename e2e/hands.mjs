// What hands on a keyboard do: go to a thing, press a key that leads elsewhere, type over what stands in a field.

/** Presses Tab until the thing has the focus. */
export async function reach(page, selector) {
  for (let count = 0; count < 250; count += 1) {
    await page.keyboard.press("Tab");
    if (await page.evaluate((selector) => document.activeElement?.matches(selector), selector)) return;
  }
  throw new Error(`${selector} is not reached with the keyboard`);
}

/** Presses a key that leads to another page, and waits for it. */
export const press = (page, key) => Promise.all([page.waitForNavigation(), page.keyboard.press(key)]);

/** Types over what stands in the field of an id. */
export async function type(page, field, words) {
  await reach(page, `#${field}`);
  await page.keyboard.press("ControlOrMeta+A");
  await page.keyboard.type(words);
}
