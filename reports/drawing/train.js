"use strict";
// Draws a train chosen in the browser as train.py draws those of the steps, from the parts the
// page already holds; a test holds the two alike. `lathe` and `shown` as whatif_table.js gives.
const drawTrain = (() => {
  const { limb: LIMB_WIDTH, protractor: PROTRACTOR, wide: WIDE, tall: TALL, over: OVER, under: UNDER, mark: MARK } = constants.train;
  const [SCALE_IN, SCALE_UP] = constants.train.scale;
  const { COLUMN, callouts, distances, node, textBox } = lettering;
  const radians = (degrees) => (degrees * Math.PI) / 180;

  const toPage = (point, turn) => {
    const [u, v] = mounting.turned(point, radians(turn));
    return [u, -v];
  };
  const about = (radius, angle, turn) =>
    toPage([radius * Math.cos(radians(angle)), radius * Math.sin(radians(angle))], turn);

  const described = (stages) => stages.map((stage) => {
    const through = stage.slice(1, -1).map((idler) => ` through an idler of ${idler}`).join("");
    return `${stage[0]} drives ${stage.at(-1)}${through}`;
  }).join(", on its stud ");

  const distanceText = (value, inch) =>
    inch ? figures.bareLength(value, true) : figures.figure(value, 2).replace(/0$/, "").replace(/\.0$/, "");

  const use = (name, [x, y], kind = null) => node("use", { href: `#${name}`, x, y, class: kind });

  // The middle of the tightest clearance.
  const gapMiddle = ({ gear, room, other }, shafts) => {
    const [from, to] = [shafts[gear.shaft], shafts[other]];
    const apart = Math.hypot(to[0] - from[0], to[1] - from[1]);
    const t = apart ? (gear.radius + room / 2) / apart : 0;
    return [0, 1].map((i) => from[i] + t * (to[i] - from[i]));
  };

  const calloutsOf = (lathe, shown, seats, shafts, turn) => {
    const items = seats.map(({ name, teeth, shaft, radius }) => ({ caption: name, value: String(teeth), target: shafts[shaft], radius }));
    if (!lathe.arm) return items;
    const { bareLength, degrees } = figures;
    shown.positions.forEach((at, i) => items.push({
      caption: shown.positions.length === 1 ? "in slot" : `stud ${i + 1}`, value: bareLength(at, lathe.inch), target: shafts[i + 1], radius: 0,
    }));
    if (shown.angle !== null) {
      items.push({ caption: "arm", value: degrees(shown.angle), target: about(PROTRACTOR * lathe.arm.axis, shown.angle / 2, turn), radius: 0 });
    }
    if (shown.gaps.length) {
      items.push({ caption: "clear", value: bareLength(shown.tightest, lathe.inch), target: gapMiddle(shown.gaps[0], shafts), radius: 0 });
    }
    return items;
  };

  return (lathe, shown) => {
    const { arm } = lathe;
    const turn = arm ? arm.turn : 0;
    const page = (point) => toPage(point, turn);
    const shafts = shown.shafts.map(page);
    const { seats, angle } = shown;
    const biggest = seats.reduce((a, b) => (b.radius > a.radius ? b : a));
    const discs = seats.map(({ shaft, radius }) => [...shafts[shaft], radius]);
    if (arm?.cover) discs.push([...shafts[biggest.shaft], arm.cover]);
    if (arm && angle !== null) {
      for (const [, end, own, offset] of arm.slots) {
        const tip = mounting.turned([end, offset], radians(own + angle));
        discs.push([...page(tip), LIMB_WIDTH / 2]);
      }
    }
    const low = [0, 1].map((i) => Math.min(...discs.map((disc) => disc[i] - disc[2])));
    const high = [0, 1].map((i) => Math.max(...discs.map((disc) => disc[i] + disc[2])));
    const letter = Math.max((high[0] - low[0]) / WIDE, (high[1] - low[1]) / TALL);
    const frame = { low, high, letter };

    const placed = callouts(calloutsOf(lathe, shown, seats, shafts, turn), frame);
    const lines = shown.spans.map((span, i) => [shafts[i], shafts[i + 1], distanceText(span, lathe.inch)]);
    const closed = arm && shafts.length > 2;
    if (closed) lines.push([shafts[0], shafts.at(-1), distanceText(arm.axis, lathe.inch)]);
    const marks = shafts.map((shaft) => textBox(shaft, letter * MARK, letter * MARK, 0));
    const left = low[0] - COLUMN * letter;
    const top = low[1] - OVER * letter;
    const bottom = placed.bottom + UNDER * letter;

    const parts = [];
    if (arm && angle !== null) parts.push(node("use", { href: "#arm", transform: `rotate(${-(angle + turn)})` }));
    for (const { symbol, shaft, plane } of seats) parts.push(use(symbol, shafts[shaft], `p${plane}`));
    if (arm?.cover) parts.push(use("cover", shafts[biggest.shaft]));
    if (arm) {
      parts.push(use("frame", [0, 0]), ...shafts.slice(1, -1).map((shaft) => use("stud", shaft)));
      if (angle !== null) {
        const radius = PROTRACTOR * arm.axis;
        const sweep = `${Number(Math.abs(angle) > 180)} ${Number(angle < 0)}`;
        parts.push(node("path", { class: "angle", d: `M${about(radius, 0, turn)}A${radius} ${radius} 0 ${sweep} ${about(radius, angle, turn)}` }));
      }
    } else {
      parts.push(...shafts.map((shaft) => use("cross", shaft)));
    }
    parts.push(...placed.parts, node("path", { class: "axis", d: `M${shafts.join(" ")}${closed ? "z" : ""}` }),
      ...distances(lines, frame, [...placed.taken, ...marks]),
      use("scale", [left + SCALE_IN, bottom - SCALE_UP * letter]));
    return node("svg", {
      class: "train",
      role: "img",
      "aria-label": (arm ? "" : "Shafts schematic: ") + described(shown.stages),
      viewBox: `${left} ${top} ${high[0] - low[0] + 2 * COLUMN * letter} ${bottom - top}`,
      "font-size": letter,
    }, ...parts);
  };
})();
