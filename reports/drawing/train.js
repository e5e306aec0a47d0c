"use strict";
// Draws a train in the browser as train.py draws those the page brings along, from the parts the
// page already holds; a test holds the two alike. `lathe` as whatif_data.py gives it, `shown` as
// mounting.js places a train.
const drawTrain = (() => {
  const { limb: LIMB_WIDTH, protractor: PROTRACTOR, across: ACROSS, column: COLUMN, centre: CENTRE } = constants.train;
  const { over: OVER, under: UNDER, mark: MARK, tick: TICK, number: NUMBER } = constants.train;
  const [SCALE_IN, SCALE_UP] = constants.train.scale;
  const { BOLD_WIDTH, MIDDLE, callouts, distances, inDisc, node, textBox } = lettering;
  const radians = (degrees) => (degrees * Math.PI) / 180;
  const apart = ([x, y], [u, v]) => Math.hypot(x - u, y - v);

  const toPage = (point, turn) => {
    const [u, v] = mounting.turned(point, radians(turn));
    return [u, -v];
  };
  const about = (radius, angle, turn) =>
    toPage([radius * Math.cos(radians(angle)), radius * Math.sin(radians(angle))], turn);

  const described = ({ seats, stages }) => {
    const called = seats.map(({ name, teeth }) => [...name, teeth].filter((part) => part !== "").join(" "));
    return stages.map((stage) => called.splice(0, stage.length).join(" drives ")).join("; ");
  };

  const distanceText = (value, inch) =>
    inch ? figures.bareLength(value, true) : figures.figure(value, 2).replace(/0$/, "").replace(/\.0$/, "");

  const use = (name, [x, y], kind = null) => node("use", { href: `#${name}`, x, y, class: kind });

  // Where everything stands on the page, as standing.py has it.
  const standing = (lathe, { seats, shafts, angle, placed }) => {
    const arm = placed ? lathe.arm : null;
    const turn = arm ? arm.turn : 0;
    const points = shafts.map((point) => toPage(point, turn));
    const discs = seats.map(({ shaft, radius }) => [points[shaft], radius]);
    const biggest = seats.reduce((a, b) => (b.radius > a.radius ? b : a));
    const cover = lathe.arm?.cover ? [points[biggest.shaft], lathe.arm.cover] : null;
    const mark = CENTRE * lathe.module;
    const hubs = points.map((point, i) => {
      const hub = arm ? arm.hubs[i === 0 ? 0 : i === points.length - 1 ? 2 : 1] : 0;
      return [point, Math.max(hub, mark)];
    });
    const contacts = seats.slice(1).flatMap((other, i) => {
      const one = seats[i];
      if (one.plane !== other.plane) return [];
      const [[x, y], [u, v]] = [points[one.shaft], points[other.shaft]];
      const t = (one.module * one.teeth) / 2 / apart([x, y], [u, v]);
      const tangent = Math.atan2(v - y, u - x) + Math.PI / 2;
      return [[[x + t * (u - x), y + t * (v - y)], tangent]];
    });
    const hidden = seats.filter((seat, i) => seats.some((front, j) =>
      front.plane > seat.plane && apart(discs[i][0], discs[j][0]) < discs[i][1] + discs[j][1]));
    const around = [...discs, ...(cover ? [cover] : [])];
    if (arm && angle !== null) {
      for (const [, end, own, offset] of arm.slots) {
        around.push([toPage(mounting.turned([end, offset], radians(own + angle)), turn), LIMB_WIDTH / 2]);
      }
    }
    const low = [0, 1].map((i) => Math.min(...around.map(([at, r]) => at[i] - r)));
    const high = [0, 1].map((i) => Math.max(...around.map(([at, r]) => at[i] + r)));
    return { arm, turn, shafts: points, discs, cover, hubs, contacts, hidden, low, high };
  };

  const stroke = ([x, y], tangent, letter) => {
    const [u, v] = [TICK * letter * Math.cos(tangent), TICK * letter * Math.sin(tangent)];
    return [[x - u, y - v], [x + u, y + v]];
  };

  // The boxes of the numbers that stand in their discs, null where one has no room.
  const numbered = ({ arm, shafts, discs, hubs, contacts }, seats, letter) => {
    const taken = shafts.slice(1).map((shaft, i) => [shafts[i], shaft]);
    if (arm && shafts.length > 2) taken.push([shafts[0], shafts.at(-1)]);
    taken.push(...contacts.map(([point, tangent]) => stroke(point, tangent, letter)));
    return seats.map(({ teeth, module, plane }, i) => {
      const width = String(teeth).length * BOLD_WIDTH * letter;
      const front = discs.filter((_, j) => seats[j].plane > plane);
      const box = inDisc([discs[i][0], (module * teeth) / 2], width, NUMBER * letter, [...hubs, ...front], taken);
      if (box) taken.push(box);
      return box;
    });
  };

  // The middle of the tightest clearance.
  const gapMiddle = ({ gear, room, other }, shafts) => {
    const [from, to] = [shafts[gear.shaft], shafts[other]];
    const distance = apart(from, to);
    const t = distance ? (gear.radius + room / 2) / distance : 0;
    return [0, 1].map((i) => from[i] + t * (to[i] - from[i]));
  };

  const calloutsOf = (lathe, shown, { arm, turn, shafts, discs, cover }, boxes) => {
    const { bareLength, degrees } = figures;
    const items = shown.seats.map(({ name: [shaft, part], teeth }, i) => ({
      caption: shaft, value: [part, boxes[i] ? "" : teeth].filter((word) => word !== "").join(" "), target: discs[i][0], radius: discs[i][1],
    }));
    if (cover) items.push({ caption: "cover", value: `⌀ ${bareLength(2 * cover[1], lathe.inch)}`, target: cover[0], radius: cover[1] });
    if (!arm) return items;
    const measure = (caption, value, target) => items.push({ caption, value, target, radius: 0, measured: true });
    shown.positions.forEach((at, i) =>
      measure(shown.positions.length === 1 ? "in slot" : `slot, ${i + 1}`, bareLength(at, lathe.inch), shafts[i + 1]));
    if (shown.angle !== null) measure("arm", degrees(shown.angle), about(PROTRACTOR * arm.axis, shown.angle / 2, turn));
    if (shown.gaps.length) measure("clear", bareLength(shown.tightest, lathe.inch), gapMiddle(shown.gaps[0], shafts));
    return items;
  };

  return (lathe, shown, withPlanes = true) => {
    const { letter } = lathe;
    const { seats, angle } = shown;
    const at = standing(lathe, shown);
    const { arm, turn, shafts, low, high } = at;
    const frame = { low, high, letter };
    const boxes = numbered(at, seats, letter);
    const placed = callouts(calloutsOf(lathe, shown, at, boxes), frame);

    const wide = Math.max(ACROSS * letter, high[0] - low[0] + 2 * COLUMN * letter);
    const left = (low[0] + high[0] - wide) / 2;
    const top = low[1] - OVER * letter;
    const planes = withPlanes
      ? planesOf(shown, shafts, letter, placed.bottom, left, left + wide) : { parts: [], bottom: placed.bottom };
    const bottom = planes.bottom + UNDER * letter;

    const lines = shown.spans.map((span, i) => [shafts[i], shafts[i + 1], distanceText(span, lathe.inch)]);
    const closed = arm && shafts.length > 2;
    if (closed) lines.push([shafts[0], shafts.at(-1), distanceText(arm.axis, lathe.inch)]);
    const marks = shafts.map((shaft) => textBox(shaft, letter * MARK, letter * MARK, 0));
    const turned = (name) => (arm && angle !== null
      ? [node("use", { href: `#${name}`, transform: `rotate(${-(angle + turn)})` })] : []);
    const strokes = at.contacts.map(([point, tangent]) => stroke(point, tangent, letter));

    const parts = [...turned("arm"),
      ...seats.map(({ symbol, shaft, plane }) => use(symbol, shafts[shaft], `p${plane}`)),
      ...at.hidden.map(({ symbol, shaft }) => use(symbol, shafts[shaft], "hidden")),
      ...turned("slots")];
    if (at.cover) parts.push(use("cover", at.cover[0]));
    if (arm) {
      parts.push(use("frame", [0, 0]), ...shafts.slice(1, -1).map((shaft) => use("stud", shaft)));
      if (angle !== null) {
        const radius = PROTRACTOR * arm.axis;
        const sweep = `${Number(Math.abs(angle) > 180)} ${Number(angle < 0)}`;
        parts.push(node("path", { class: "angle dims", d: `M${about(radius, 0, turn)}A${radius} ${radius} 0 ${sweep} ${about(radius, angle, turn)}` }));
      }
    } else {
      parts.push(...shafts.map((shaft) => use("cross", shaft)));
    }
    parts.push(node("path", { class: "contact", d: strokes.map(([from, to]) => `M${from} ${to}`).join("") }),
      node("path", { class: "axis", d: `M${shafts.join(" ")}` }));
    if (closed) parts.push(node("path", { class: "axis dims", d: `M${shafts[0]} ${shafts.at(-1)}` }));
    const numbers = seats.flatMap(({ teeth, plane }, i) => (boxes[i] ? [node("text", {
      x: (boxes[i][0][0] + boxes[i][1][0]) / 2, y: (boxes[i][0][1] + boxes[i][2][1]) / 2 + MIDDLE * letter, class: `p${plane}`,
    }, teeth)] : []));
    parts.push(...placed.parts, ...distances(lines, frame, [...placed.taken, ...marks, ...boxes.filter(Boolean)]),
      ...(numbers.length ? [node("g", { class: "tooth" }, ...numbers)] : []), ...planes.parts,
      use("scale", [left + SCALE_IN, bottom - SCALE_UP * letter]));
    return node("svg", {
      class: "train",
      role: "img",
      "aria-label": (arm ? "" : "Shafts schematic: ") + described(shown),
      viewBox: `${left} ${top} ${wide} ${bottom - top}`,
      "font-size": letter,
    }, ...parts);
  };
})();
