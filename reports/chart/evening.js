"use strict";
// The chart on the screen: which chart, rows by series or by setup, and the order for the
// threads that are ticked.
(() => {
  const section = document.getElementById("gear-chart");
  const told = section?.querySelector(".evening");
  if (!told) return;
  const intro = told.innerHTML;
  let packed;

  const wall = () => section.querySelector("[data-wall]:not([hidden])") ?? section;
  const rows = () => [...wall().querySelectorAll("tr[data-no]")];

  // A box before every thread.
  const ready = () => {
    rows().forEach((row) => {
      const head = row.querySelector("th");
      if (head.querySelector("input")) return;
      const box = document.createElement("input");
      box.type = "checkbox";
      box.setAttribute("aria-label", `${head.textContent}: this evening`);
      head.prepend(box);
      placed(row);
    });
  };

  const series = new Map();
  const sorted = () => {
    const by = section.querySelector("[name=chart-order]:checked").value;
    const bodies = [...wall().querySelectorAll("tbody")];
    if (!series.has(wall())) series.set(wall(), bodies.map((body) => [...body.rows]));
    const stood = series.get(wall());
    if (!by) {
      bodies.forEach((body, k) => body.replaceChildren(...stood[k]));
      return;
    }
    const all = stood.flat().filter((row) => row.dataset.no);
    all.sort((a, b) => a.dataset.no - b.dataset.no); // stable: by series within a setup
    const size = Math.ceil(all.length / bodies.length);
    bodies.forEach((body, k) => body.replaceChildren(...all.slice(k * size, (k + 1) * size)));
  };

  // A gear's place is that of its column's head; its plane stands there, or before the gear.
  const placed = (row) => {
    const heads = row.closest("table").querySelectorAll(".plane");
    row.querySelectorAll(".gear").forEach((cell, k) => {
      const plane = cell.querySelector("small") ?? heads[k].lastChild;
      if (cell.lastChild) cell.dataset.place = `${heads[k].dataset.shaft} ${plane.textContent.trim()}`;
    });
  };
  const gears = (row) => new Map([...row.querySelectorAll("[data-place]")].map(
    (cell) => [cell.dataset.place, cell.lastChild.data.trim()]));
  const named = (row) => row.querySelector("th").textContent.trim();

  const evening = () => {
    const ticked = rows().filter((row) => row.querySelector("input").checked);
    if (!ticked.length) {
      told.innerHTML = intro;
      return;
    }
    const threads = new Map();
    for (const row of ticked) threads.set(row.dataset.no, [...(threads.get(row.dataset.no) ?? []), row]);
    const numbers = [...threads.keys()].sort((a, b) => a - b);
    const setups = numbers.map((number) => gears(threads.get(number)[0]));
    const usualText = wall().querySelector(".wall").dataset.usual;
    const usual = usualText ? new Map(JSON.parse(usualText)) : null;
    const {order, changes} = chartOrder.best(setups, usual);
    const list = document.createElement("ol");
    let before = usual ?? new Map();
    for (const k of order) {
      const put = [...setups[k]].filter(([place, gear]) => before.get(place) !== gear);
      const line = document.createElement("li");
      const names = threads.get(numbers[k]).map(named).join(", ");
      const on = put.map(([place, gear]) => `${place}: ${gear}`).join(", ");
      line.textContent = `Setup ${numbers[k]}, for ${names}. ${on ? `Put on, by shaft and plane, ${on}.` : "As it hangs."}`;
      list.append(line);
      before = setups[k];
    }
    const head = document.createElement("p");
    head.textContent = `${changes} ${changes === 1 ? "gear" : "gears"} put on${usual ? ", the usual train hung again at the end" : ""}, with the setups of this chart. With setups for these threads alone it may be fewer:`;
    const hint = document.createElement("p");
    const code = document.createElement("code");
    code.textContent = `gearchest chart LATHE --only "${ticked.map(named).join("; ")}"`;
    hint.append(code);
    told.replaceChildren(head, hint, list);
  };

  const chosen = async (number) => {
    for (const part of section.querySelectorAll("[data-wall], [data-of]")) {
      part.hidden = (part.dataset.wall ?? part.dataset.of) !== number;
    }
    const shown = wall();
    if (!shown.firstElementChild) {
      packed ??= unpack(document.getElementById("more-charts")).then((text) => text.json());
      shown.innerHTML = (await packed)[number - 1];
    }
    ready();
    sorted();
    evening();
  };

  section.addEventListener("change", ({target}) => {
    if (target.name === "chart-of") chosen(target.value);
    else if (target.name === "chart-order") sorted();
    else if (target.type === "checkbox") evening();
  });
  // Paper has the rows by series, whatever the screen shows.
  addEventListener("beforeprint", () => {
    const by = section.querySelector("[name=chart-order]");
    by.checked = true;
    sorted();
  });
  ready();
})();
