/* A table to type into grows in place and takes a block of cells pasted from a sheet.
   Without this script "Add rows" asks the server, or the spare rows of the page serve. */
"use strict";
(() => {
  const words = document.currentScript.dataset;
  const MORE = 3;
  const bodyOf = (table) => table.tBodies[0];
  const boxesOf = (row) => [...row.querySelectorAll("td input:not([type=hidden]), td select")];

  const addRow = (table) => {
    const number = bodyOf(table).rows.length + 1;
    const row = bodyOf(table).rows[number - 2].cloneNode(true);
    row.querySelector("th").textContent = number;
    row.querySelectorAll(".understood").forEach((line) => line.remove());
    boxesOf(row).forEach((box) => {
      box.removeAttribute("id");
      if (box.matches("select")) box.selectedIndex = 0;
      else box.value = "";
      box.setAttribute("aria-label", box.getAttribute("aria-label").replace(/\d+(?=\D*$)/, number));
    });
    bodyOf(table).append(row);
    return row;
  };

  const grow = (table) => {
    const made = Array.from({ length: MORE }, () => addRow(table));
    boxesOf(made[0])[0].focus();
  };

  const put = (box, typed) => {
    if (!box.matches("select")) box.value = typed;
    else {
      const option = [...box.options].find((one) => one.text.toLowerCase() === typed.toLowerCase());
      if (!option) return false;
      box.value = option.value;
    }
    box.dispatchEvent(new Event("input", { bubbles: true }));
    return true;
  };

  const cellsOf = (text) => text.replace(/\r\n?/g, "\n").replace(/\n+$/, "").split("\n")
    .map((line) => line.split("\t").map((cell) => cell.trim()));

  const fill = (table, box, lines) => {
    const first = [...bodyOf(table).rows].indexOf(box.closest("tr"));
    const column = boxesOf(box.closest("tr")).indexOf(box);
    const lost = [];
    lines.forEach((cells, at) => {
      const row = bodyOf(table).rows[first + at] ?? addRow(table);
      cells.forEach((cell, on) => {
        const target = boxesOf(row)[column + on];
        if (cell && !(target && put(target, cell))) lost.push(`“${cell}” (row ${first + at + 1})`);
      });
    });
    return lost;
  };

  const start = (table) => {
    const frame = table.closest(".scroll");
    const said = document.createElement("p");
    said.className = "hint";
    said.setAttribute("role", "status");
    frame.after(said);
    let more = said.nextElementSibling?.querySelector("button[name].second");
    if (!more) {
      more = document.createElement("button");
      more.className = "second";
      more.textContent = words.add;
      const line = document.createElement("p");
      line.className = "buttons";
      line.append(more);
      said.after(line);
    }
    more.type = "button";
    more.addEventListener("click", () => grow(table));
    /* A draft of more rows than the page has. */
    table.addEventListener("rows-wanted", (event) => {
      while (bodyOf(table).rows.length < event.detail) addRow(table);
    });
    table.addEventListener("paste", (event) => {
      const lines = cellsOf(event.clipboardData.getData("text"));
      if (!event.target.matches("input") || (lines.length === 1 && lines[0].length === 1)) return;
      event.preventDefault();
      const lost = fill(table, event.target, lines);
      const pasted = lines.length === 1 ? words.pastedOne : words.pasted.replace("{rows}", lines.length);
      said.textContent = lost.length ? `${pasted} ${words.lost.replace("{places}", lost.join(", "))}` : pasted;
    });
  };

  document.querySelectorAll("form table.entry").forEach(start);
})();
