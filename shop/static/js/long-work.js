/* Keeps the page of a long work up to date. Without script one presses "Look again". */
"use strict";
(() => {
  const EVERY = 2000;
  const shown = () => document.getElementById("progress");

  const look = async () => {
    const came = await fetch(location.href, { headers: { Accept: "text/html" } });
    const page = new DOMParser().parseFromString(await came.text(), "text/html");
    const fresh = page.getElementById("progress");
    if (!came.ok || !fresh) return;
    if ("running" in fresh.dataset) shown().replaceChildren(...fresh.children);
    else location.reload();
  };

  const next = () => {
    if (shown()?.dataset.running === undefined) return;
    setTimeout(() => look().catch(() => { /* no network: asked again */ }).then(next), EVERY);
  };
  next();
})();
