// "/" goes to the search box and "?" to the help about the page, unless somebody is typing or wants no such keys.
"use strict";

const typing = "input, textarea, select, [contenteditable]";

document.addEventListener("keydown", (event) => {
  if (!["/", "?"].includes(event.key) || event.ctrlKey || event.altKey || event.metaKey || event.target.closest(typing)) return;
  if (!document.getElementById("seek")?.hasAttribute("aria-keyshortcuts")) return;
  if (event.key === "?") {
    document.querySelector("a.help")?.click();
    return;
  }
  const box = document.querySelector("main input[type=search]#q") || document.getElementById("seek");
  if (!box || !box.offsetParent) return;
  event.preventDefault();
  box.focus();
  box.select();
});
