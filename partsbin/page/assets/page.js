// Quicker, never needed: the reading while it is typed, and what was typed kept while the bench machine is away.
"use strict";
const gone = document.getElementById("gone");
const away = (is) => { gone.hidden = !is; };
const keyOf = (field) => `partsbin:${location.pathname}:${field.name}:${field.dataset.keep}`; // a form that was taken says another word
for (const field of document.querySelectorAll("[data-keep]")) {
  const kept = sessionStorage.getItem(keyOf(field));
  if (!field.value && kept) field.value = kept;
  field.addEventListener("input", () => sessionStorage.setItem(keyOf(field), field.value));
}
const line = document.querySelector("[data-reading]");
if (line) {
  const shown = document.getElementById("reading");
  let waiting = 0;
  let asking = null;
  line.addEventListener("input", () => {
    clearTimeout(waiting);
    waiting = setTimeout(async () => {
      if (asking) asking.abort();
      asking = new AbortController();
      const family = document.getElementById("family");
      const said = new URLSearchParams({ text: line.value, family: family ? family.value : "" });
      try {
        const answer = await fetch(`${line.dataset.reading}?${said}`, { signal: asking.signal });
        if (answer.ok) shown.innerHTML = await answer.text();
        away(false);
      } catch (fault) {
        if (fault.name !== "AbortError") away(true);
      }
    }, 150);
  });
}
for (const form of document.forms) {
  form.addEventListener("submit", async (event) => {
    if (form.dataset.sure) return;
    event.preventDefault();
    const button = event.submitter;
    try {
      await fetch("/assets/page.css", { method: "HEAD", cache: "no-store" });
      away(false);
      form.dataset.sure = "yes";
      for (const field of form.querySelectorAll("[data-keep]")) sessionStorage.removeItem(keyOf(field)); // it goes over now
      form.requestSubmit(button);
    } catch {
      away(true);
      gone.scrollIntoView();
    }
  });
}
