"use strict";
// Draws the trains of sheets that came without a drawing, and writes lengths and drawings in the
// unit that is chosen: the lathe file's own until then.
const drawn = (() => {
  const block = document.getElementById("bench");
  const bench = block && JSON.parse(block.textContent);
  const root = document.documentElement;
  const own = root.classList.contains("inch");
  let inch = own;

  const listed = (text) => (text ? text.split(" ").map(Number) : []);
  const shownOf = (place) => {
    const [number, gears, angle, slots, positions] = place.split("|");
    const layout = bench.layouts[number];
    const kinds = gears.split(" ").map((gear) => {
      const [teeth, module] = gear.split(":").map(Number);
      const symbol = `g${teeth}-${String(Number(module.toFixed(4))).replace(".", "_")}`;
      return { teeth, module, radius: module * (teeth / 2 + 1), symbol };
    });
    const teeth = kinds.map((kind) => kind.teeth);
    const stages = layout.idlers.map((idlers) => teeth.splice(0, idlers + 2));
    const on = slots === undefined ? null : [angle === "" ? null : Number(angle), listed(slots), listed(positions)];
    return { ...mounting.put(bench.lathe.arm, layout, kinds, on), stages };
  };

  // The train of a sheet without its planes, for a page that tells them otherwise.
  const train = ({ dataset }) => (dataset.place && bench ? drawTrain({ ...bench.lathe, inch }, shownOf(dataset.place), false) : null);

  // A drawing that others of the page point at stays, out of sight.
  const putAway = (svg) => {
    if (!svg?.querySelector("g[id]")) {
      svg?.remove();
      return;
    }
    svg.setAttribute("class", "definitions");
    svg.removeAttribute("role");
    for (const [name, value] of [["width", 0], ["height", 0], ["aria-hidden", true]]) svg.setAttribute(name, value);
  };

  // A sheet with its drawing, made afresh: those that came with the page may be without planes.
  const draw = (sheet) => {
    const { place, unit } = sheet.dataset;
    if (!place || !bench || unit === String(inch)) return;
    const figure = sheet.querySelector("figure");
    putAway(figure.querySelector("svg.train"));
    figure.prepend(drawTrain({ ...bench.lathe, inch }, shownOf(place)));
    sheet.dataset.unit = inch;
    const caption = figure.querySelector("figcaption").firstChild;
    caption.data = caption.data.replace(/distances in (mm|inches)/, `distances in ${inch ? "inches" : "mm"}`);
  };

  // Lengths stand as pairs, one unit and the other in brackets: the chosen one comes first.
  const PAIR = /([\d./]+(?: \d+\/\d+)?\u202f(?:mm|in|tpi)) \(([\d./]+(?: \d+\/\d+)?\u202f(?:mm|in|tpi))\)/g;
  const turn = (part) => {
    const walker = document.createTreeWalker(part, NodeFilter.SHOW_TEXT);
    for (let text = walker.nextNode(); text; text = walker.nextNode()) {
      if (text.data.includes("\u202f")) text.data = text.data.replace(PAIR, "$2 ($1)");
    }
  };
  // Why a train does not hang, in mm until then; `numbers.told` says it alike.
  const inInches = (_, mm) => {
    const inches = mm / 25.4;
    return `${Number(inches.toPrecision(inches >= 1 ? 4 : inches >= 0.01 ? 3 : 2))}\u202fin`;
  };
  const tell = (reason) => {
    reason.dataset.mm ??= reason.textContent;
    const text = reason.dataset.mm;
    reason.textContent = inch ? text.replace(/(\d+(?:\.\d+)?) mm\b/g, inInches) : text;
  };
  // What is put into the page later is in the file's own unit.
  const inUnit = (part) => {
    if (String(part.dataset.turned ?? own) === String(inch)) return;
    turn(part);
    part.dataset.turned = inch;
  };
  const show = (setup) => {
    for (const part of setup.querySelectorAll("header, .numbers, .in-full")) inUnit(part);
    setup.querySelectorAll(".reasons li").forEach(tell);
    for (const sheet of setup.querySelectorAll(".train-sheet:not([data-away])")) draw(sheet);
  };
  const everything = () => {
    for (const sheet of document.querySelectorAll(".train-sheet[data-place]")) draw(sheet);
  };

  const tools = document.getElementById("thread-tools");
  const kept = (key, value) => {
    try {
      if (value === undefined) return localStorage.getItem(key);
      localStorage.setItem(key, value);
    } catch { /* a page from a file may not keep anything */ }
    return null;
  };
  const units = tools.querySelectorAll("[name=unit]");
  for (const choice of units) {
    choice.checked = (choice.value === "in") === inch;
    choice.addEventListener("change", () => {
      inch = choice.value === "in";
      const setup = document.querySelector(".setup.open");
      if (setup) show(setup);
    });
  }
  const dimensions = tools.querySelector("[name=dimensions]");
  const layer = () => {
    if (dimensions.checked) delete root.dataset.dimensions;
    else root.dataset.dimensions = "off";
  };
  if (dimensions) {
    dimensions.checked = kept("dimensions") !== "off";
    layer();
    dimensions.addEventListener("change", () => {
      layer();
      kept("dimensions", dimensions.checked ? "on" : "off");
    });
  }

  return { show, everything, train };
})();
