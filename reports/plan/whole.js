"use strict";
// The setup in full behind the thread that is open, for paper: that of the train shown, where the
// page has it.
const whole = (() => {
  const block = document.getElementById("whole-setups");
  let packed;

  const bring = async (setup, sheet) => {
    if (!block) return;
    packed ??= unpack(block).then((text) => text.json());
    const key = choices.keyOf(sheet);
    const found = (await packed)[setup.id]?.find(([train]) => train === key);
    // One at a time: its parts go by ids.
    for (const before of document.querySelectorAll(".in-full")) before.remove();
    if (!found || sheet.hasAttribute("data-away") || !setup.classList.contains("open")) return;
    const made = document.createElement("div");
    made.className = `in-full ${found[1]}`;
    made.innerHTML = found[2];
    const drawing = drawn.train(sheet);
    if (drawing) made.querySelector("figure").append(drawing);
    setup.append(made);
    drawn.show(setup);
  };

  return { bring: (setup, sheet) => bring(setup, sheet).catch(() => {}) }; // too old a browser prints the panel
})();
