"use strict";
// The setup in full behind the thread that is open, for paper: that of the train shown, where the
// page has it, else what of the thread's is the same for any train driven from that end.
const whole = (() => {
  const block = document.getElementById("whole-setups");
  let packed;

  const bring = async (setup, sheet) => {
    if (!block) return;
    packed ??= unpack(block).then((text) => text.json());
    const key = choices.keyOf(sheet);
    const { end = "spindle" } = sheet.dataset;
    const some = (await packed)[setup.id] ?? [];
    const own = some.find(([train]) => train === key);
    const found = own ?? some.find((one) => one[3] === end);
    // One at a time: its parts go by ids.
    for (const before of document.querySelectorAll(".in-full")) before.remove();
    if (!found || sheet.hasAttribute("data-away") || !setup.classList.contains("open")) return;
    const made = document.createElement("div");
    made.className = `in-full ${found[1]}`;
    made.innerHTML = found[2];
    if (own) {
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
