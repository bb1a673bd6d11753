/* Turns the gearbox on the overlay without a reload: presses and a slider. Without script presses and the form load it. */
"use strict";
(() => {
  const PAUSE = 120;
  const overlay = document.getElementById("overlay");
  const form = document.querySelector(".overlay-form");
  if (!overlay || !form) return;
  let asked = 0;

  const draw = async (query) => {
    const turn = ++asked;
    const came = await fetch(query, { headers: { Accept: "text/html" } });
    const page = new DOMParser().parseFromString(await came.text(), "text/html");
    const fresh = page.getElementById("overlay");
    if (turn !== asked) return;
    if (!came.ok || !fresh?.querySelector("[data-angle]")) { location.assign(query); return; }
    const focused = document.activeElement?.closest?.("nav") && document.activeElement.textContent;
    overlay.replaceChildren(...fresh.children);
    document.getElementById("of-angle").replaceChildren(...page.getElementById("of-angle").children);
    history.replaceState(null, "", query);
    const typed = form.elements.rotation;
    typed.value = page.querySelector(".overlay-form [name=rotation]").value;
    slider.value = overlay.querySelector("[data-angle]").dataset.angle;
    [...overlay.querySelectorAll("nav a")].find((link) => link.textContent === focused)?.focus();
  };
  const drawn = (query) => draw(query).catch(() => location.assign(query));

  const slider = Object.assign(document.createElement("input"), { type: "range", min: -180, max: 180, step: 0.1 });
  slider.setAttribute("aria-label", form.querySelector("label[for=id_rotation]")?.textContent.trim() ?? "");
  slider.value = overlay.querySelector("[data-angle]")?.dataset.angle ?? 0;
  slider.className = "turn";
  overlay.before(slider);

  let waiting;
  slider.addEventListener("input", () => {
    clearTimeout(waiting);
    const query = new URLSearchParams(new FormData(form));
    query.set("rotation", `${slider.value} deg`);
    waiting = setTimeout(() => drawn(`?${query}`), PAUSE);
  });
  overlay.addEventListener("click", (press) => {
    const link = press.target.closest("nav a");
    if (!link || press.ctrlKey || press.metaKey || press.shiftKey) return;
    press.preventDefault();
    drawn(link.getAttribute("href"));
  });
})();
