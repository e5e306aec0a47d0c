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
    const before = setup.querySelector(".in-full");
    if (before?.dataset.train === key && found) return;
    before?.remove();
    if (!found || sheet.hasAttribute("data-away")) return;
    const made = document.createElement("div");
    made.className = `in-full ${found[1]}`;
    made.dataset.train = key;
    made.innerHTML = found[2];
    const drawing = drawn.train(sheet);
    if (drawing) made.querySelector("figure").append(drawing);
    setup.append(made);
    drawn.show(setup);
  };

  return { bring: (setup, sheet) => bring(setup, sheet).catch(() => {}) }; // too old a browser prints the panel
})();
