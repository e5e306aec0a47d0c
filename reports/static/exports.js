"use strict";
// Saves tables as CSV, and blocks of data as files, from what the page holds.
(() => {
  const save = (name, type, text) => {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([text], { type }));
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 1000);
  };

  // The text a reader hears: parts not for the ear are left out.
  const words = (cell) => {
    const copy = cell.cloneNode(true);
    for (const part of copy.querySelectorAll("[aria-hidden=true], .screen-only")) part.remove();
    return copy.textContent
      .replace(/\s+/g, " ")
      .replace(/\u2212/g, "-")
      .trim();
  };

  const quoted = (text) => (/[",\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);

  const csv = (table) => {
    const lines = [];
    for (const row of table.rows) {
      if (row.dataset.group !== undefined) continue;
      const cells = [];
      for (const cell of row.cells) {
        cells.push(quoted(words(cell)), ...Array(cell.colSpan - 1).fill(""));
      }
      lines.push(cells.join(","));
    }
    return "\ufeff" + lines.join("\r\n") + "\r\n";
  };

  for (const button of document.querySelectorAll("button[data-csv]")) {
    button.addEventListener("click", () => {
      const table = document.getElementById(button.dataset.csv);
      save(`${button.dataset.file || table.id}.csv`, "text/csv", csv(table));
    });
  }
  const saves = (attribute, ending, type) => {
    for (const button of document.querySelectorAll(`button[data-${attribute}]`)) {
      button.addEventListener("click", async () => {
        const block = document.getElementById(button.dataset[attribute]);
        save(`${button.dataset.file || block.id}.${ending}`, type, await unpack(block).then((text) => text.blob()));
      });
    }
  };
  saves("json", "json", "application/json");
  saves("sheet", "csv", "text/csv");
})();
