/* Says under a box what its measurement is read as, while it is typed. The form reads it with the same reader when it is
   sent, and says it then to those who have no script. */
"use strict";
(() => {
  const words = document.currentScript.dataset;
  const PAUSE = 400;
  const asked = new WeakMap();

  const lineOf = (box) => {
    const after = (box.closest(".measure") ?? box).nextElementSibling;
    if (after?.classList.contains("understood")) return after;
    const line = document.createElement("p");
    line.className = "understood";
    line.setAttribute("aria-live", "polite");
    (box.closest(".measure") ?? box).after(line);
    return line;
  };

  const ask = async (box) => {
    const typed = box.value.trim();
    const { kind, unit, tolerance } = box.dataset;
    const query = new URLSearchParams({ kind, unit, typed, ...(tolerance ? { tolerance } : {}) });
    const answer = typed ? await fetch(`/calculate/reading/?${query}`).then((came) => (came.ok ? came.json() : {})) : {};
    const told = answer.read ? words.read.replace("{value}", answer.read) : answer.wrong ?? "";
    if (box.value.trim() === typed) lineOf(box).textContent = told;
  };

  document.addEventListener("input", (event) => {
    const box = event.target;
    if (!box.matches("input[data-kind]") || box.closest("table")) return;
    clearTimeout(asked.get(box));
    asked.set(box, setTimeout(() => ask(box).catch(() => { /* no network: the form says it when it is sent */ }), PAUSE));
  });
})();
