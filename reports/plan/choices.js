"use strict";
// The table of a thread's trains as choices: each row can be taken. Where gears can be ticked, the
// page adds what else the gears of the step would do.
const choices = (() => {
  const keyOf = (sheet) => sheet.dataset.key ?? sheet.querySelector(".gears").textContent;
  const rowsOf = (setup) => [...setup.querySelectorAll(".trains tbody tr[data-steps]")];
  const keyOfRow = (row) => row.querySelector("th").textContent;
  const stepsOf = ({ dataset }) => (dataset.steps ? dataset.steps.split(" ").map(Number) : []);

  const pressable = (row) => {
    const head = row.querySelector("th");
    if (head.querySelector("button")) return;
    const button = document.createElement("button");
    button.type = "button";
    button.append(...head.childNodes);
    head.append(button);
  };

  const element = (name, content, attributes = {}) => {
    const made = Object.assign(document.createElement(name), attributes);
    made.append(content);
    return made;
  };
  const rowOf = ({ key, mark, error, teeth, missing, label }) => {
    const row = document.createElement("tr");
    row.dataset.steps = "";
    row.append(element("th", key, { scope: "row" }),
      element("td", mark.word, { className: `state ${mark.slug}` }),
      ...[error, teeth, missing, label].map((text) => element("td", text)));
    return row;
  };

  // Rows of the page's own making, after those that came with it.
  const more = (setup, others) => {
    for (const made of setup.querySelectorAll(".trains tbody.made")) made.remove();
    const known = new Map(rowsOf(setup).map((row) => [keyOfRow(row), row]));
    for (const row of known.values()) {
      const when = row.lastElementChild;
      row.dataset.when ??= when.textContent;
      const label = others.find(({ key }) => key === keyOfRow(row))?.label;
      when.textContent = label && label !== row.dataset.when ? `${row.dataset.when}; ${label}` : row.dataset.when;
    }
    const rows = others.filter(({ key }) => !known.has(key)).map(rowOf);
    if (!rows.length) return;
    const body = element("tbody", "", { className: "made" });
    body.append(element("tr", element("th", "With the same gears", { scope: "rowgroup", colSpan: 6 })), ...rows);
    setup.querySelector(".trains").append(body);
    rows.forEach(pressable);
  };

  const mark = (setup, key) => {
    for (const row of rowsOf(setup)) {
      pressable(row);
      const here = keyOfRow(row) === key;
      row.classList.toggle("chosen", here);
      row.querySelector("button").setAttribute("aria-pressed", here);
    }
  };

  // What was pressed: {train} or, where that is the one of a step, {step}.
  const pressed = (target, step) => {
    const row = target.closest(".trains tr[data-steps]");
    if (!row) return null;
    const steps = stepsOf(row);
    return steps.length ? { step: steps.includes(step) ? step : steps[0], train: "" } : { step, train: keyOfRow(row) };
  };

  return { keyOf, mark, more, pressed };
})();
