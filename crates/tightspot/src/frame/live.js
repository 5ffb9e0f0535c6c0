// Parts of a page answered without loading the whole page. Every form works without this file.
(() => {
  "use strict";
  const WAIT_MS = 200;
  const said = document.getElementById("said");
  const runs = new WeakMap();

  // The address a form asks for: its own, with what is typed. Files and the form's keys stay at home.
  const address = (form) => {
    const url = new URL(form.action, location.href);
    const typed = [...new FormData(form)].filter(([name, text]) => typeof text === "string" && !name.startsWith("form_"));
    url.search = new URLSearchParams(typed).toString();
    return url;
  };

  // Where the caret stands, so that a swap does not move it.
  const caret = () => {
    const at = document.activeElement;
    const text = at && typeof at.selectionStart === "number";
    return at && at.id ? { id: at.id, from: text ? at.selectionStart : null, to: text ? at.selectionEnd : null } : null;
  };
  const restore = (kept) => {
    const at = kept && document.getElementById(kept.id);
    if (!at || at === document.activeElement) return;
    at.focus({ preventScroll: true });
    if (kept.from !== null) at.setSelectionRange(kept.from, kept.to);
  };

  // The part in an answer, whether the server sent it alone or in a page.
  const partOf = (text, id) => new DOMParser().parseFromString(text, "text/html").getElementById(id);

  const open = (part) => [...part.querySelectorAll("details")].map((one) => one.open);

  async function ask(form, submitted) {
    const id = form.dataset.live;
    const old = document.getElementById(id);
    const url = address(form);
    const run = (runs.get(form) || 0) + 1;
    runs.set(form, run);
    old.setAttribute("aria-busy", "true");
    try {
      const answer = await fetch(url, { headers: { "X-Part": id }, credentials: "same-origin" });
      if (answer.status >= 500) throw new Error(String(answer.status));
      const part = partOf(await answer.text(), id);
      if (runs.get(form) !== run) return;
      if (!part || part.querySelector(".fault")) {
        // Nothing is called wrong before it is sent; sent, the whole page says what is wrong, and leads there.
        if (submitted) return location.assign(url);
        old.removeAttribute("aria-busy");
        old.dataset.behind = "";
        said.textContent = "";
        return;
      }
      const kept = caret();
      const unfolded = open(old);
      part.querySelectorAll("details").forEach((one, at) => { one.open = one.open || Boolean(unfolded[at]); });
      old.replaceWith(part);
      restore(kept);
      if (form.method === "get") history.replaceState(null, "", url);
      said.textContent = part.dataset.said || "";
    } catch {
      if (runs.get(form) !== run) return;
      old.removeAttribute("aria-busy");
      if (submitted) location.assign(url);
    }
  }

  // A part that is still at work asks for itself until it is done.
  const again = async () => {
    const old = document.querySelector("[data-again]");
    if (!old) return;
    try {
      const answer = await fetch(location.href, { headers: { "X-Part": old.id }, credentials: "same-origin" });
      const part = partOf(await answer.text(), old.id);
      if (part) {
        const kept = caret();
        old.replaceWith(part);
        restore(kept);
        if (!part.dataset.again) said.textContent = part.dataset.said || "";
      }
    } catch {}
    setTimeout(again, Number(old.dataset.again));
  };
  again();

  // A form that asks is answered in place; a form that stores only gets its echo while it is typed.
  for (const form of document.querySelectorAll("form[data-live]")) {
    let timer = 0;
    form.addEventListener("input", () => {
      clearTimeout(timer);
      timer = setTimeout(ask, WAIT_MS, form, false);
    });
    if (form.method === "get") form.addEventListener("submit", (event) => {
      event.preventDefault();
      clearTimeout(timer);
      ask(form, true);
    });
  }
})();
