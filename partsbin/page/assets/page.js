// Quicker, never needed: the reading while it is typed, and what was typed kept while the bench machine is away.
"use strict";
const gone = document.getElementById("gone");
const away = (is) => { gone.hidden = !is; };
for (const field of document.querySelectorAll("[data-keep]")) {
  const key = `partsbin:${location.pathname}:${field.name}:${field.dataset.keep}`; // a form that was taken says another word
  const kept = sessionStorage.getItem(key);
  if (!field.value && kept) field.value = kept;
  field.addEventListener("input", () => sessionStorage.setItem(key, field.value));
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
      form.requestSubmit(button);
    } catch {
      away(true);
      gone.scrollIntoView();
    }
  });
}
