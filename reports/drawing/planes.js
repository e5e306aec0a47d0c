"use strict";
// The planes beneath a train drawn in the browser, as planes.py draws them.
const planesOf = (() => {
  const { pitch: PITCH, row: ROW, stub: STUB, head: HEAD, side: SIDE, cell: CELL } = constants.planes;
  const { name: NAME, figure: FIGURE, beside: BESIDE } = constants.planes;
  const { gathered, node } = lettering;

  const columns = (shafts, letter, left, right) => {
    const tenth = (i) => Math.floor((shafts[i][0] / letter) * 10 + 0.5);
    const order = shafts.map((_, i) => i).sort((a, b) => tenth(a) - tenth(b) || a - b);
    const places = gathered(order.map((i) => shafts[i][0]), PITCH * letter, left + SIDE * letter, right - (PITCH / 2) * letter);
    const found = [];
    order.forEach((i, n) => { found[i] = places[n]; });
    return found;
  };

  // Parts of the drawing, and where they end below.
  return ({ seats, stages, names }, shafts, letter, top, left, right) => {
    const xs = columns(shafts, letter, left, right);
    const down = top + STUB * letter;
    const row = (plane) => top + (STUB + HEAD + (plane + 0.5) * ROW) * letter;
    const use = (name, x, y, kind = null) => node("use", { href: `#${name}`, x, y, class: kind });
    const text = (words, x, y) => node("text", { x, y }, words);
    const empty = xs.flatMap((_, shaft) => stages.map((_, plane) => [shaft, plane]))
      .filter(([shaft, plane]) => !seats.some((seat) => seat.shaft === shaft && seat.plane === plane));
    const meshes = seats.slice(1).flatMap((seat, i) => (seat.plane === seats[i].plane
      ? [`M${xs[seats[i].shaft]} ${row(seat.plane)}H${xs[seat.shaft]}`] : []));
    const beside = Math.min(...xs) - (CELL / 2 + BESIDE) * letter;
    const parts = [
      node("path", { class: "stub", d: shafts.map(([x], i) => `M${x} ${top}L${xs[i]} ${down}`).join("") }),
      node("path", { class: "mesh", d: meshes.join("") }),
      ...empty.map(([shaft, plane]) => use("spacer", xs[shaft], row(plane))),
      ...seats.map(({ shaft, plane }) => use("cell", xs[shaft], row(plane), `p${plane}`)),
      node("g", { class: "tooth" }, ...seats.map(({ teeth, shaft, plane }) => text(teeth, xs[shaft], row(plane) + FIGURE * letter))),
      node("g", { class: "name" }, ...names.map((name, i) => text(name, xs[i], down + NAME * letter))),
    ];
    if (stages.length > 1) {
      parts.push(node("g", { class: "plane" }, ...stages.map((_, plane) => text(`plane ${plane + 1}`, beside, row(plane) + FIGURE * letter))));
    }
    return { parts, bottom: row(stages.length - 1) + (ROW / 2) * letter };
  };
})();
