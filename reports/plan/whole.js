"use strict";
// The setup in full behind the thread that is open, for paper: that of the train shown, where the
// page has it, else what of the thread's is the same for any train driven from that end.
const whole = (() => {
  const block = document.getElementById("whole-setups");
  let packed;

  const bring = async (setup, sheet) => {
    if (!block) return;
    packed ??= unpackForms(block);
    const key = choices.keyOf(sheet);
    const { end = "spindle" } = sheet.dataset;
    // Of each train worked out four texts: its key, how full the sheet is, the sheet, and the end
    // that drives.
    const texts = (await packed)(setup.id);
    const at = (part, sought) => texts.findIndex((text, i) => i % 4 === part && text === sought) - part;
    const own = at(0, key);
    const from = own >= 0 ? own : at(3, end);
    const found = from >= 0 ? texts.slice(from, from + 4) : null;
    // One at a time: its parts go by ids.
    for (const before of document.querySelectorAll(".in-full")) before.remove();
    if (!found || sheet.hasAttribute("data-away") || !setup.classList.contains("open")) return;
    const made = document.createElement("div");
    made.className = `in-full ${found[1]}`;
    made.innerHTML = found[2];
    if (own >= 0) {
      const drawing = drawn.train(sheet);
      if (drawing) made.querySelector("figure").append(drawing);
    } else {
      made.className = "in-full other";
      for (const part of made.querySelectorAll("section:not(#whole-infeed)")) part.remove();
    }
    setup.append(made);
    drawn.show(setup);
  };

  return { bring: (setup, sheet) => bring(setup, sheet).catch(() => {}) }; // too old a browser prints the panel
})();
