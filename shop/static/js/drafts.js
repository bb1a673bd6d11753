/* What was typed in a form and not saved is kept in this browser, and offered when the same person opens the form again.
   Only forms marked data-draft="address of the form"; never passwords, files or hidden fields.
   Nothing is ever sent by this. Of a form that signs, accepts or decides (data-act) what was ticked or chosen is not kept
   either: it is asked again. */
"use strict";
(() => {
  const words = document.currentScript.dataset;
  const person = document.body.dataset.person;
  const form = document.querySelector("form[data-draft]");
  const ROOT = "draft ";
  const OWN = `${ROOT}${person} `;
  const COOKIE = "saved_forms";
  const LONGEST = 24 * 60 * 60 * 1000;
  const LARGEST = 1024 * 1024;
  const isAct = form?.hasAttribute("data-act");
  const UNKEPT = ["hidden", "password", "file", "submit", "button", "reset", "image",
    ...(isAct ? ["checkbox", "radio", "select-one", "select-multiple"] : [])];

  const read = (key) => {
    try { return JSON.parse(localStorage.getItem(key)); } catch { return null; }
  };
  const drop = (wanted) => Object.keys(localStorage).filter((key) => key.startsWith(ROOT) && wanted(key))
    .forEach((key) => localStorage.removeItem(key));
  const isOld = (key) => !(Date.now() - (read(key)?.at ?? 0) < LONGEST);

  /* The server names the forms that it wrote, in a cookie or on the page that wrote them; nothing else counts. */
  const dropSaved = () => {
    const written = document.querySelector("[data-written]")?.dataset.written;
    drop((key) => key === ROOT + written);
    const told = document.cookie.split("; ").find((one) => one.startsWith(`${COOKIE}=`));
    if (!told) return;
    const saved = told.slice(COOKIE.length + 1).split("|").map(decodeURIComponent);
    drop((key) => saved.includes(key.slice(ROOT.length)));
    document.cookie = `${COOKIE}=; path=/; max-age=0`;
  };

  const start = () => {
    const key = OWN + form.dataset.draft;
    const fields = () => [...form.elements].filter((field) => field.name && !UNKEPT.includes(field.type)
      && field.matches("input, select, textarea") && !field.closest(".conflict"));
    const isTicked = (field) => field.type === "checkbox" || field.type === "radio";
    const valuesOf = (name) => fields().filter((field) => field.name === name).flatMap((field) => {
      if (isTicked(field)) return field.checked ? [field.value] : [];
      return field.multiple ? [...field.selectedOptions].map((option) => option.value) : [field.value];
    });
    const fill = (name, values) => {
      const left = [...values];
      const table = fields().find((field) => field.name === name)?.closest("table.entry");
      table?.dispatchEvent(new CustomEvent("rows-wanted", { detail: values.length }));
      fields().filter((field) => field.name === name).forEach((field) => {
        if (isTicked(field)) field.checked = values.includes(field.value);
        else if (field.multiple) [...field.options].forEach((one) => { one.selected = values.includes(one.value); });
        else if (left.length) field.value = left.shift();
      });
    };
    const version = form.querySelector("input[type=hidden][name=version]");
    const typed = new Set();
    let before = null;

    const keep = (sent) => {
      const kept = { ...before?.fields };
      typed.forEach((name) => { kept[name] = valuesOf(name); });
      if (!Object.keys(kept).length) return;
      const draft = { at: Date.now(), sent, version: before ? before.version : version?.value, fields: kept };
      const text = JSON.stringify(draft);
      if (text.length > LARGEST) return;
      try { localStorage.setItem(key, text); } catch { /* full or forbidden: the form works as ever */ }
    };

    const bringBack = (line) => {
      const names = Object.keys(before.fields).filter((name) => !typed.has(name));
      names.forEach((name) => { fill(name, before.fields[name]); typed.add(name); });
      /* Filled from an older version: the server then shows both, and nobody's change is written over unseen. */
      if (version && before.version) version.value = before.version;
      before = null;
      keep(false);
      line.textContent = isAct ? words.backAct : words.back;
      (fields().find((field) => names.includes(field.name)) ?? line).focus();
    };

    const throwAway = (line) => {
      before = null;
      localStorage.removeItem(key);
      keep(false);
      line.textContent = words.thrown;
      line.focus();
    };

    const button = (words, act, line) => {
      const made = document.createElement("button");
      made.type = "button";
      made.className = "second";
      made.textContent = words;
      made.addEventListener("click", () => act(line));
      return made;
    };

    const offer = () => {
      const line = document.createElement("div");
      line.className = "message draft";
      line.tabIndex = -1;
      line.setAttribute("role", "status");
      form.before(line);
      const when = new Date(before.at);
      const clock = when.toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
      const isToday = when.toDateString() === new Date().toDateString();
      const fate = before.sent
        ? (isToday ? words.sent : words.sentYesterday) : (isToday ? words.unsaved : words.unsavedYesterday);
      const newer = version && before.version && version.value !== before.version
        ? ` ${words.newer}` : "";
      const buttons = document.createElement("p");
      buttons.className = "buttons";
      buttons.append(button(words.bring, bringBack, line), " ", button(words.throw, throwAway, line));
      line.append(`${fate.replace("{clock}", clock)}${newer}`, buttons);
    };

    const look = () => {
      const found = read(key);
      if (!found) return;
      const here = new Set(fields().map((field) => field.name));
      const names = Object.keys(found.fields).filter((name) => here.has(name));
      const held = names.every((name) => JSON.stringify(valuesOf(name)) === JSON.stringify(found.fields[name]));
      /* An answer that filled in what was sent shows all of it. */
      const answered = found.sent && form.hasAttribute("data-answered");
      if (held || answered) { names.forEach((name) => typed.add(name)); return; }
      before = found;
      offer();
    };

    const note = (event) => {
      if (!fields().includes(event.target)) return;
      typed.add(event.target.name);
      keep(false);
    };
    form.addEventListener("input", note);
    form.addEventListener("change", note);
    form.addEventListener("submit", () => keep(true));
    /* Not earlier: going back, the browser fills in by itself what it remembers. */
    addEventListener("pageshow", (event) => { if (!event.persisted) look(); });
  };

  try {
    dropSaved();
    drop(isOld);
  } catch { return; /* storage forbidden by the browser */ }
  if (!person) return;
  document.querySelector("form[data-sign-out]")?.addEventListener("submit", () => drop((key) => key.startsWith(OWN)));
  if (form) start();
})();
