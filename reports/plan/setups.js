"use strict";
// The setups a page carries: as text, some of their trains packed, and rows of
// the map that wait for the first screen to be painted.
const setupStore = (() => {
  const parsed = (markup) => {
    const made = document.createElement("template");
    made.innerHTML = markup;
    return made.content;
  };

  // Where it is said that a step has no train.
  const noTrain = () => {
    const line = Object.assign(document.createElement("p"), { className: "nothing", hidden: true });
    line.dataset.noTrain = "";
    return line;
  };

  // Setups wait as text until they are opened, asked about or printed. Where a
  // drawing points at one that stands in another setup, that one is made too.
  const waiting = new Map([...document.querySelectorAll("#setups noscript")].map((block) =>
    [/\bid="?([\w-]+)/.exec(block.textContent)[1], block]));
  // Of a great many what waits is for readers without scripts, and the setups come packed. Where they
  // cannot be unpacked the text that waits has to do.
  const panels = document.getElementById("setup-panels");
  let panelOf = null;
  let unpacked = !panels;
  let coming;
  const bringPanels = () => {
    coming ??= unpackForms(panels).then((of) => { panelOf = of; }, () => {}).then(() => { unpacked = true; });
    return coming;
  };
  const there = (want) => unpacked || !waiting.has(want);
  const setupOf = (want) => {
    const block = waiting.get(want);
    if (block) {
      waiting.delete(want);
      block.replaceWith(parsed(panelOf?.(want)[0] ?? block.textContent));
      const setup = document.getElementById(want);
      setup.tabIndex = -1;
      (setup.querySelector(".trains, .back") ?? setup.lastElementChild).before(noTrain());
      makeDrawings(setup);
    }
    return document.getElementById(want);
  };
  const makeDrawings = (setup) => {
    for (const use of setup.querySelectorAll("svg > use:only-child")) {
      const ident = use.getAttribute("href").slice(1);
      if (document.getElementById(ident)) continue;
      const held = new RegExp(`\\bid="?${ident}"?>`);
      for (const [want, block] of waiting) if (held.test(block.textContent)) setupOf(want);
    }
  };

  // Rows out of sight join the table once the first screen is painted, few at a time and more once
  // none of them is laid out as it comes; until then their place is kept.
  const FEWEST = 10;
  const later = [...document.querySelectorAll("#map .later")];
  const room = document.querySelector(".room");
  const showRows = (count) => {
    for (const row of later.splice(0, count)) row.classList.remove("later");
    room?.style.setProperty("--rows", later.filter(({ classList }) => !classList.contains("settled")).length);
  };
  const showMore = (count) => {
    showRows(count);
    if (later.length) requestAnimationFrame(() => setTimeout(showMore, 0, 2 * count));
    else if (panels) bringPanels();
  };
  requestAnimationFrame(() => setTimeout(showMore, 0, FEWEST));
  addEventListener("beforeprint", () => {
    showRows(later.length);
    if (document.documentElement.dataset.print === "thread") return;
    [...waiting.keys()].forEach(setupOf);
    drawn.everything();
  });

  // Trains of the steps between come packed, and are put into their setup when first asked for.
  let packed;
  const bringSheets = async (setup) => {
    packed ??= unpackForms(document.getElementById("more-sheets"));
    const [markup] = (await packed)(setup.id);
    if (!markup || setup.dataset.whole) return;
    setup.dataset.whole = "yes";
    setup.querySelector("[data-no-train]").before(parsed(markup));
    makeDrawings(setup);
  };

  return { setupOf, there, bringPanels, bringSheets };
})();
