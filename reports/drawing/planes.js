"use strict";
// The developed section of a train chosen in the browser, as planes.py draws those of the steps,
// from the parts the page already holds. Null for a train that runs in one plane.
const drawPlanes = (() => {
  const LETTER = 9; // in modules; the rest in letter heights, as in planes.py
  const ROW = 2;
  const NAME = 3.4;
  const { node } = lettering;

  // From the first driver's to the screw's; where they are near every other name stands higher.
  const shaftsOf = (spans, stages) => {
    const studs = spans.length - 1;
    const found = [];
    [Infinity, ...spans].forEach((span, i) => {
      const name = i === 0 ? "driver" : i > studs ? "screw" : studs === 1 ? "stud" : `stud${i}`;
      const raised = span < NAME && !found.at(-1).raised;
      found.push({ raised, symbol: `${name}-${stages}${raised ? "r" : ""}` });
    });
    return found;
  };

  return (lathe, shown) => {
    const { seats, spans, stages } = shown;
    if (stages.length === 1) return null;
    const letter = LETTER * lathe.module;
    const xs = [0];
    for (const span of spans) xs.push(xs.at(-1) + span);
    const shafts = shaftsOf(spans.map((span) => span / letter), stages.length);
    const left = Math.min(...seats.map(({ shaft, radius }) => xs[shaft] - radius)) - 3.9 * letter;
    const right = Math.max(...seats.map(({ shaft, radius }) => xs[shaft] + radius)) + 0.3 * letter;
    const top = (shafts.some(({ raised }) => raised) ? -2.8 : -1.6) * letter;
    const bottom = (stages.length * ROW + 0.2) * letter;
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
