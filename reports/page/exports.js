"use strict";
// Saves what the page holds: tables as CSV, blocks of data as JSON.
const saving = (() => {
  const save = (name, type, content) => {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([content], { type }));
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 1000);
  };

  // Text that a spreadsheet would take for a formula gets an apostrophe: harmless() in Python.
  const harmless = (text) =>
    /^(?![+-]?[0-9.]+$)[=+\-@\t\r\n＝＋－＠]|^'+[=+\-@\t\r\n＝＋－＠]/.test(text) ? `'${text}` : text;

  const quoted = (value) => {
    const text = typeof value === "string" ? harmless(value) : String(value);
    return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
  };

  // Rows of values as the program writes its tables.
  const csv = (name, rows) => {
    const lines = rows.map((row) => `${row.map(quoted).join(",")}\r\n`);
    save(`${name}.csv`, "text/csv", `\ufeff${lines.join("")}`);
  };

  const onClick = (selector, done) => {
    for (const button of document.querySelectorAll(selector)) {
      button.addEventListener("click", () => done(button.dataset).catch(() => {
        button.textContent = "This browser is too old to unpack it";
      }));
    }
  };

  let tables;
  onClick("button[data-csv]", async ({ csv: name }) => {
    tables ??= unpackForms(document.getElementById("tables"));
    save(`${name}.csv`, "text/csv", (await tables)(name)[0]);
  });
  onClick("button[data-json]", async ({ json, file = json }) => {
    const held = await (await unpack(document.getElementById(json))).json();
    const value = held.forms ? JSON.parse(formsOf(held)(json)[0]) : held;
    save(`${file}.json`, "application/json", `${JSON.stringify(value, null, 1)}\n`);
  });

  return { csv };
})();
