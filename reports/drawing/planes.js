"use strict";
// The developed section of a train chosen in the browser, as planes.py draws those of the steps,
// from the parts the page already holds. Null for a train that runs in one plane.
const drawPlanes = (() => {
  const { letter: LETTER, row: ROW, name: NAME, left: LEFT, right: RIGHT, top: TOP, raised: RAISED, bottom: BOTTOM } = constants.planes;
  const { node } = lettering;

  // From the first driver's to the screw's; where they are near every other name stands higher.
  const shaftsOf = (symbols, spans, stages) => {
    const found = [];
    [Infinity, ...spans].forEach((span, i) => {
      const raised = span < NAME && !found.at(-1).raised;
      found.push({ raised, symbol: `${symbols[i]}-${stages}${raised ? "r" : ""}` });
    });
    return found;
  };

  return (lathe, shown) => {
    const { seats, spans, stages, symbols } = shown;
    if (stages.length === 1) return null;
    const letter = LETTER * lathe.module;
    const xs = [0];
    for (const span of spans) xs.push(xs.at(-1) + span);
    const shafts = shaftsOf(symbols, spans.map((span) => span / letter), stages.length);
    const left = Math.min(...seats.map(({ shaft, radius }) => xs[shaft] - radius)) - LEFT * letter;
    const right = Math.max(...seats.map(({ shaft, radius }) => xs[shaft] + radius)) + RIGHT * letter;
    const top = -(shafts.some(({ raised }) => raised) ? RAISED : TOP) * letter;
    const bottom = (stages.length * ROW + BOTTOM) * letter;
    const middle = (plane) => (plane + 0.5) * ROW * letter;
    const use = (name, x, y, kind = null) => node("use", { href: `#${name}`, x, y, class: kind });
    const empty = xs.flatMap((_, shaft) => stages.map((_, plane) => [shaft, plane]))
      .filter(([shaft, plane]) => !seats.some((seat) => seat.shaft === shaft && seat.plane === plane));
    return node("svg", {
      class: "planes",
      role: "img",
      "aria-label": `Planes: ${stages.map((stage) => stage.join(", ")).join("; ")}`,
      viewBox: `${left} ${top} ${right - left} ${bottom - top}`,
    },
    use(`planes-${stages.length}`, left, 0),
    ...shafts.map(({ symbol }, i) => use(symbol, xs[i], 0)),
    ...empty.map(([shaft, plane]) => use("spacer", xs[shaft], middle(plane))),
    ...seats.map(({ symbol, shaft, plane }) => use(`s${symbol}`, xs[shaft], middle(plane), `p${plane}`)));
  };
})();
