"use strict";
// The setup of the thread that is open, beside the map.
(() => {
  const { setupOf, bringSheets } = setupStore;
  const { table, rowOf, columns, lastStep, cellOf, nameOf, rank, visible } = cells;
  const { state } = place;
  const reading = document.getElementById("map-reading");
  const together = table.closest(".pair") !== null; // all of a thread's trains stay open

  const preview = (link) => {
    const cell = link.closest("td, th");
    const row = link.closest("tr");
    const { step } = cell.dataset;
    const told = (one) => one.textContent.replace(/\s+/g, " ").trim();
    if (step === undefined) return told(cell);
    const gears = trainTitle(row.dataset.want, step);
    return `${nameOf(row)}, step ${step}: ${told(link)}${gears ? `, ${gears}` : ""}`;
  };

  const sheets = (setup) => [...setup.querySelectorAll(".train-sheet[data-steps]")];
  const holds = ({ dataset }, step) => dataset.steps.split(" ").includes(String(step));
  const inTable = (setup, part) => [...setup.querySelectorAll(`.trains ${part}[data-steps]`)];
  const trainTitle = (want, step) => {
    const setup = setupOf(want);
    const cell = inTable(setup, "td").find((one) => holds(one, step));
    if (cell) return cell.textContent;
    const sheet = sheets(setup).find((one) => holds(one, step));
    return sheet ? sheet.querySelector(".gears").textContent : "";
  };

  // The sheet of the step that is open; what stands in its place where there is none.
  const showSheet = (setup) => {
    let found = false;
    for (const sheet of sheets(setup)) {
      const here = holds(sheet, state.step) || together;
      sheet.toggleAttribute("data-away", !here);
      found ||= here;
    }
    for (const head of inTable(setup, "th")) head.classList.toggle("chosen", holds(head, state.step));
    return found;
  };

  const tell = (setup, text) => {
    const line = setup.querySelector("[data-no-train]");
    line.textContent = text;
    line.hidden = text === "";
  };

  const showTrain = async (setup) => {
    tell(setup, "");
    if (showSheet(setup)) return;
    if (!trainTitle(setup.id, state.step)) {
      if (state.step > lastStep) tell(setup, "No train for the gears ticked is among those that cover this thread.");
      else tell(setup, sheets(setup).length ? "At this step no train of these gears comes within five per cent." : "");
      return;
    }
    try {
      await bringSheets(setup);
      showSheet(setup);
    } catch {
      tell(setup, "This browser is too old to unpack the drawing of this step; the table has its figures.");
    }
  };

  // The verdicts of the steps, moved to the setup that is open.
  const strip = document.querySelector(".strip");
  const moveStrip = (setup, row) => {
    if (!strip) return;
    for (const mark of strip.children) {
      const { slug, word } = constants.verdicts[rank(row, mark.dataset.step)];
      mark.className = Number(mark.dataset.step) === state.step ? `${slug} chosen` : slug;
      mark.textContent = word;
    }
    if (!setup.contains(strip)) setup.querySelector("header").after(strip);
  };

  const open = ({ reveal }) => {
    for (const chosen of table.querySelectorAll(".chosen")) chosen.classList.remove("chosen");
    const want = state.want || visible()[0]?.dataset.want;
    const setup = want && setupOf(want);
    for (const other of document.querySelectorAll(".setup.open")) if (other !== setup) other.classList.remove("open");
    if (!setup) return;
    document.dispatchEvent(new CustomEvent("setup-fill", { detail: { want, step: state.step } }));
    setup.classList.add("open");
    const row = rowOf.get(want);
    row.classList.add("chosen");
    cellOf(row, state.step).classList.add("chosen");
    moveStrip(setup, row);
    showTrain(setup);
    if (reveal) {
      setup.parentNode.scrollTop = 0;
      const box = setup.getBoundingClientRect();
      if (box.top > innerHeight * 0.6 || box.bottom < 80) setup.scrollIntoView({ block: "start" });
      setup.focus({ preventScroll: true });
    }
  };

  const choose = (want, step, how) => {
    state.want = want;
    state.step = step;
    place.write();
    open(how);
  };

  table.addEventListener("click", (event) => {
    const link = event.target.closest("td, tr[data-want] th")?.querySelector("a");
    if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    map.giveStop(link);
    const { step = lastStep } = link.closest("td, th").dataset;
    choose(link.closest("tr").dataset.want, Number(step), { reveal: true });
  });
  table.addEventListener("focusin", (event) => {
    const link = event.target.closest("a");
    if (link) reading.textContent = preview(link);
  });
  table.addEventListener("mouseover", (event) => {
    const link = event.target.closest("td a, th a");
    if (link) reading.textContent = preview(link);
  });
  document.getElementById("setups").addEventListener("click", (event) => {
    const mark = event.target.closest(".strip li");
    if (mark) choose(mark.closest(".setup").id, Number(mark.dataset.step), { reveal: false });
  });

  const follow = ({ reveal }) => {
    place.read();
    map.follow();
    open({ reveal: reveal && state.want !== "" });
  };
  addEventListener("hashchange", () => {
    if (place.ours()) follow({ reveal: true });
  });
  // Links within the page scroll and leave the address alone, which holds what was chosen.
  document.addEventListener("click", (event) => {
    const link = event.target.closest('a[href^="#"]');
    if (!link || table.contains(link) || event.ctrlKey || event.metaKey || event.shiftKey) return;
    const target = document.getElementById(link.getAttribute("href").slice(1));
    if (!target || rowOf.has(target.id)) return;
    event.preventDefault();
    target.scrollIntoView({ block: "start" });
    target.tabIndex = -1;
    target.focus({ preventScroll: true });
  });
  document.addEventListener("what-if", (event) => {
    if (event.detail.byHand) {
      state.step = Math.max(...columns);
      state.gears = event.detail.gears;
      place.write();
    }
    open({ reveal: false });
  });
  follow({ reveal: true });
})();
