/* Keys that a page does not need: "/" goes to the search box and "?" to the help about the page, unless somebody is
   typing or turned them off. Ctrl+Enter presses the button that Enter presses in a field of one line; Enter on a ticked
   row goes to what is done to ticked rows, and Escape back; Escape closes the menu under one's name.
   No letter and no digit: a screen reader keeps those for itself. */
"use strict";
(() => {
  const typing = "input:not([type=checkbox]):not([type=radio]), textarea, select, [contenteditable]";
  let ticked = null;

  const isPlain = (event) => !event.ctrlKey && !event.altKey && !event.metaKey;

  const goToSearch = (event) => {
    const box = document.querySelector("main input[type=search]#q") || document.getElementById("seek");
    if (!box?.offsetParent) return;
    event.preventDefault();
    box.focus();
    box.select();
  };

  const single = (event) => {
    if (!document.getElementById("seek")?.hasAttribute("aria-keyshortcuts") || event.target.closest(typing)) return;
    if (event.key === "?") document.querySelector("a.help")?.click();
    else goToSearch(event);
  };

  const send = (event) => {
    const button = [...event.target.form?.elements ?? []].find((one) => one.type === "submit" && !one.disabled);
    if (!button) return;
    event.preventDefault();
    button.click();
  };

  const toActs = (event) => {
    const act = document.querySelector("#bulk button");
    if (!act || !event.target.matches("input[type=checkbox][form=bulk]")) return;
    event.preventDefault();
    ticked = event.target;
    act.focus();
  };

  const escape = (event) => {
    const menu = document.querySelector("details.you[open]");
    if (menu) {
      menu.open = false;
      menu.querySelector("summary").focus();
    } else if (ticked && event.target.closest("#bulk")) ticked.focus();
  };

  document.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && (event.ctrlKey || event.metaKey)) send(event);
    else if (!isPlain(event)) return;
    else if (event.key === "Enter") toActs(event);
    else if (event.key === "Escape") escape(event);
    else if (["/", "?"].includes(event.key)) single(event);
  });

  /* A menu that lies over the page closes when one goes on from it. */
  const you = document.querySelector("details.you");
  you?.addEventListener("focusout", (event) => {
    if (event.relatedTarget && !you.contains(event.relatedTarget)) you.open = false;
  });
})();
