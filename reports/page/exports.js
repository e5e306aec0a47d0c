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
    for (const part of copy.querySelectorAll("span")) part.after(" ");
    return copy.textContent
      .replace(/\s+/g, " ")
      .replace(/\u2212/g, "-")
      .trim();
  };

  const quoted = (text) => (/[",\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);

  const csv = (table) => {
    const lines = [];
    const held = []; // by column: what a cell above still says of [rows to come, its words]
    for (const row of table.rows) {
      if (row.dataset.group !== undefined || row.hidden) continue;
      const cells = [];
      const carry = () => {
        for (let at = cells.length; held[at]?.[0]; at = cells.length) {
          held[at][0] -= 1;
          cells.push(held[at][1]);
        }
      };
      for (const cell of row.cells) {
        if (!cell.offsetParent && getComputedStyle(cell).display === "none") continue;
        carry();
        const text = quoted(words(cell));
        held[cells.length] = [cell.rowSpan - 1, text];
        cells.push(text, ...Array(cell.colSpan - 1).fill(""));
      }
      carry();
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
