// A code behind # was never sent; it goes into its field, and out of the address line. Without this file it is typed.
(() => {
  "use strict";
  for (const form of document.querySelectorAll("form[data-behind-hash]")) {
    if (location.hash.length < 2) continue;
    form.elements[form.dataset.behindHash].value = location.hash.slice(1);
    history.replaceState(null, "", location.pathname);
  }
})();
