"use strict";
// Where the shafts of one train stand and what room is left, worked out as optimizer/arm and
// schematic.py do; a test holds every figure to theirs. Lengths mm, the screw shaft at the
// origin, y upward, the first driver's shaft on the x axis.
const mounting = (() => {
  const { tolerance: TOLERANCE, direct: DIRECT_TOLERANCE, cosine: COSINE_SLACK, decimals: DECIMALS, bends: BENDS } = constants.mounting;
  const radians = (degrees) => (degrees * Math.PI) / 180;
  const apart = ([x, y], [u, v]) => Math.hypot(x - u, y - v);
  const turned = ([x, y], angle) => [
    x * Math.cos(angle) - y * Math.sin(angle),
    x * Math.sin(angle) + y * Math.cos(angle),
  ];
  const rounded = (value) => Math.round(value * 10 ** DECIMALS) / 10 ** DECIMALS;

  // The gears in mesh order, each with its shaft, its plane and its name: ["stud", "inner"].
  const seated = ({ idlers, shafts, names }, gears) => {
    const planes = idlers.flatMap((count, plane) => Array(count + 2).fill(plane));
    return gears.map((gear, i) => ({ ...gear, shaft: shafts[i], plane: planes[i], name: names[i] }));
  };

  // Distances between successive shafts: meshing gears stand m (z1 + z2) / 2 apart.
  const spansOf = (seats) =>
    seats.slice(1).flatMap((gear, i) =>
      gear.plane === seats[i].plane ? [(seats[i].module * (seats[i].teeth + gear.teeth)) / 2] : []);

  const inArm = ([, , angle, offset], at) => turned([at, offset], radians(angle));

  const roots = (square) => {
    if (square < -TOLERANCE) return [];
    const root = Math.sqrt(Math.max(square, 0));
    return root > 0 ? [root, -root] : [0];
  };

  // Positions along the slots that keep the distances between the studs and of the last stud
  // from the centre.
  const studPositions = (slots, spans, centre = [0, 0]) => {
    if (!slots.length) return [[]];
    const [, , angle, offset] = slots.at(-1);
    const [along, across] = turned(centre, -radians(angle));
    return roots(spans.at(-1) ** 2 - (across - offset) ** 2).flatMap((step) => {
      const others = studPositions(slots.slice(0, -1), spans.slice(0, -1), inArm(slots.at(-1), along + step));
      return others.map((positions) => [...positions, along + step]);
    });
  };

  // Every way of putting so many studs into slots.
  const choices = (slots, studs) =>
    studs ? choices(slots, studs - 1).flatMap((some) => slots.map((_, i) => [...some, i])) : [[]];

  const armAngles = (stud, axis, span) => {
    const radius = Math.hypot(...stud);
    if (radius === 0) return [];
    const cosine = (radius ** 2 + axis ** 2 - span ** 2) / (2 * radius * axis);
    if (Math.abs(cosine) > 1 + COSINE_SLACK) return [];
    const angle = Math.acos(Math.max(-1, Math.min(1, cosine)));
    const own = Math.atan2(stud[1], stud[0]);
    return angle > 0 ? [angle - own, -angle - own] : [angle - own];
  };

  const normal = (degrees) => {
    const left = degrees - 360 * Math.round(degrees / 360);
    return left === -180 ? 180 : left;
  };

  // Every way the chain closes: slots as listed, the near root, the upper mirror position.
  const postures = (arm, spans) => {
    const ends = [[arm.axis, 0], [0, 0]];
    if (spans.length === 1) {
      return Math.abs(spans[0] - arm.axis) <= DIRECT_TOLERANCE + TOLERANCE
        ? [{ angle: null, slots: [], positions: [], shafts: ends }] : [];
    }
    return choices(arm.slots, spans.length - 1).flatMap((slots) => {
      const chosen = slots.map((i) => arm.slots[i]);
      return studPositions(chosen, spans.slice(1)).flatMap((positions) => {
        const points = positions.map((at, i) => inArm(chosen[i], at));
        return armAngles(points[0], arm.axis, spans[0]).map((angle) => ({
          angle: normal((angle * 180) / Math.PI),
          slots,
          positions,
          shafts: [ends[0], ...points.map((point) => turned(point, angle)), ends[1]],
        }));
      });
    });
  };

  const withinSwing = ([first, last], angle) => {
    if (last - first >= 360) return true;
    const width = (((last - first) % 360) + 360) % 360;
    const from = (((angle - first) % 360) + 360) % 360;
    return from <= width + TOLERANCE || from >= 360 - TOLERANCE;
  };

  // Room between gears of one plane that do not mesh, and between gears and what stands proud
  // on the shafts they pass; the tightest first.
  const clearances = (arm, layout, seats, shafts) => {
    const gaps = layout.tips.map(([a, b]) => {
      const [one, other] = [seats[a], seats[b]];
      const room = apart(shafts[one.shaft], shafts[other.shaft]) - one.radius - other.radius;
      return { room, between: `the ${one.teeth} and the ${other.teeth}`, gear: one, other: other.shaft };
    });
    for (const [a, shaft] of layout.hubs) {
      const gear = seats[a];
      const hub = shaft === 0 ? arm.hubs[0] : shaft === shafts.length - 1 ? arm.hubs[2] : arm.hubs[1];
      const room = apart(shafts[gear.shaft], shafts[shaft]) - gear.radius - hub;
      gaps.push({ room, between: `the ${gear.teeth} and the nut on ${layout.called[shaft]}`, gear, other: shaft });
    }
    const inOrder = (a, b) => rounded(a.room) - rounded(b.room) || a.gear.teeth - b.gear.teeth || a.other - b.other;
    return gaps.sort(inOrder);
  };

  // Of all postures that fit the one with the widest tightest clearance.
  const onArm = (arm, layout, seats) => {
    let widest = null;
    for (const posture of postures(arm, spansOf(seats))) {
      const inSlots = posture.positions.every((at, i) => {
        const [start, end] = arm.slots[posture.slots[i]];
        return at >= start - TOLERANCE && at <= end + TOLERANCE;
      });
      if (!inSlots || (posture.angle !== null && !withinSwing(arm.swing, posture.angle))) continue;
      const gaps = clearances(arm, layout, seats, posture.shafts);
      const tightest = gaps.length ? gaps[0].room : Infinity;
      if (tightest < arm.gap - TOLERANCE) continue;
      if (!widest || rounded(tightest) > rounded(widest.tightest)) widest = { ...posture, gaps, tightest };
    }
    return widest;
  };

  // Without a measured arm: a zigzag as bent as gears of one plane allow.
  const chain = (layout, seats) => {
    const spans = spansOf(seats);
    for (const bend of BENDS) {
      const lean = spans.length === 1 ? 0 : radians(bend);
      const shafts = [[0, 0]];
      spans.forEach((span, i) => {
        const [x, y] = shafts[i];
        shafts.push([x + span * Math.sin(lean) * (i % 2 === 0 ? 1 : -1), y - span * Math.cos(lean)]);
      });
      const [u, v] = shafts.at(-1);
      const moved = shafts.map(([x, y]) => [x - u, y - v]);
      const clear = layout.tips.every(([a, b]) =>
        apart(moved[seats[a].shaft], moved[seats[b].shaft]) > seats[a].radius + seats[b].radius);
      if (clear || bend === 0) return { angle: null, slots: [], positions: [], shafts: moved, gaps: [], tightest: Infinity };
    }
  };

  // A train where `place` says, [arm angle, slots, positions along them]; null: on no arm.
  const put = (arm, layout, gears, place) => {
    const seats = seated(layout, gears);
    const whole = { seats, spans: spansOf(seats), names: layout.heads, placed: place !== null };
    if (!place) return { ...chain(layout, seats), ...whole };
    const [angle, slots, positions] = place;
    const points = positions.map((at, i) => turned(inArm(arm.slots[slots[i]], at), radians(angle)));
    const shafts = [[arm.axis, 0], ...points, [0, 0]];
    const gaps = clearances(arm, layout, seats, shafts);
    return { angle, slots, positions, shafts, gaps, tightest: gaps.length ? gaps[0].room : Infinity, ...whole };
  };

  // `arm` null: unmeasured. A train that does not fit gives null.
  const mount = (arm, layout, gears) => {
    if (!arm) return put(arm, layout, gears, null);
    const found = onArm(arm, layout, seated(layout, gears));
    return found && put(arm, layout, gears, [found.angle, found.slots, found.positions]);
  };
  return { mount, put, turned };
})();
