// Several files of one form go one by one, so that the limit of a sending holds for each and not for all. Without this
// file they go together.
(() => {
  "use strict";
  const said = document.getElementById("said");

  const each = async (form, files) => {
    const typed = [...new FormData(form)].filter(([name]) => name !== form.dataset.each);
    const key = new FormData(form).get("form_key");
    const send = form.querySelector("button[type=submit]");
    send.disabled = true;
    for (const [at, file] of files.entries()) {
      said.textContent = `${at + 1} / ${files.length}`;
      send.textContent = `${at + 1} / ${files.length}: ${file.name}`;
      const post = (name, what) => {
        const one = new FormData();
        for (const [name, text] of typed) one.append(name, name === "form_key" ? `${key}-${at}-${what === file}` : text);
        one.append("batch", key);
        one.append(name, what);
        return fetch(form.action, { method: "POST", body: one, credentials: "same-origin" });
      };
      const answer = await post(form.dataset.each, file).catch(() => null);
      // What was typed is at fault: the form itself brings the page that says so.
      if (answer?.status === 422) return form.submit();
      // A file that did not get through, or on whose way the line broke, is named among those not kept.
      if (!answer?.ok) await post("unsent", file.name).catch(() => null);
    }
    location.assign(`${form.action}/${encodeURIComponent(key)}`);
  };
  for (const form of document.querySelectorAll("form[data-each]")) {
    form.addEventListener("submit", (event) => {
      const files = [...form.elements[form.dataset.each].files];
      if (files.length < 2 || (form.elements.name && form.elements.name.value.trim())) return;
      event.preventDefault();
      each(form, files);
    });
  }
})();
