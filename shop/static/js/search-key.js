// "/" goes to the search box, unless somebody is typing or wants no such key. The box is in the page without it.
"use strict";

const typing = "input, textarea, select, [contenteditable]";

document.addEventListener("keydown", (event) => {
  if (event.key !== "/" || event.ctrlKey || event.altKey || event.metaKey || event.target.closest(typing)) return;
  if (!document.getElementById("seek")?.hasAttribute("aria-keyshortcuts")) return;
  const box = document.querySelector("main input[type=search]#q") || document.getElementById("seek");
  if (!box || !box.offsetParent) return;
  event.preventDefault();
  box.focus();
  box.select();
});
