// The bench: a tick that does not get through is said and can be tapped again; the screen stays on where it may.
(() => {
  "use strict";
  const said = document.getElementById("said");
  const awake = document.querySelector("[data-awake]");

  // The wake lock is there in secure contexts only; without it the page says what to do.
  async function stayAwake() {
    if (!awake || !navigator.wakeLock || document.visibilityState !== "visible") return;
    try {
      await navigator.wakeLock.request("screen");
      awake.textContent = "The screen stays on while this page is open.";
    } catch { /* The words on the page hold. */ }
  }
  stayAwake();

  if (!document.querySelector("form[data-tick]")) return;
  let busy = false;

  function notSaved() {
    const lost = document.getElementById("not-saved");
    lost.hidden = false;
    lost.scrollIntoView({ block: "center" });
    said.textContent = lost.textContent;
  }

  // What came back with faults takes the place of the page, as if the form had been sent without script.
  function showAgain(text) {
    const page = new DOMParser().parseFromString(text, "text/html");
    const main = page.querySelector("main");
    if (!main) throw new Error("no page");
    document.title = page.title;
    document.querySelector("main").replaceWith(main);
    const faults = main.querySelector(".fault-summary");
    if (faults) faults.focus();
    start();
  }

  async function send(event) {
    event.preventDefault();
    if (busy) return;
    busy = true;
    const button = event.target.querySelector("button[type=submit]");
    button.setAttribute("aria-busy", "true");
    try {
      const body = new URLSearchParams(new FormData(event.target));
      const answer = await fetch(event.target.action, { method: "POST", body, credentials: "same-origin" });
      if (answer.redirected) return location.assign(answer.url);
      if (answer.status >= 500) throw new Error(String(answer.status));
      showAgain(await answer.text());
    } catch {
      notSaved();
    } finally {
      busy = false;
      button.removeAttribute("aria-busy");
    }
  }

  // Another phone may have written meanwhile: told when this one wakes up.
  async function look() {
    if (document.visibilityState !== "visible") return;
    stayAwake();
    const seen = document.getElementById("seen");
    try {
      const answer = await fetch(location.href, { headers: { "X-Part": "seen" }, credentials: "same-origin" });
      const now = new DOMParser().parseFromString(await answer.text(), "text/html").getElementById("seen");
      if (now && seen && now.dataset.seen !== seen.dataset.seen) location.reload();
    } catch { /* No connection: what is typed stays. */ }
  }

  function start() {
    const again = document.querySelector("form[data-tick]");
    if (again) again.addEventListener("submit", send);
  }
  start();
  document.addEventListener("visibilitychange", look);
})();
