"use strict";
// Draws a train chosen in the browser from the parts the page already holds: the same gears,
// arm, shafts and scale as the other drawings, with a callout for every gear.
const drawTrain = (() => {
  const NAMES = "ABCDEF";
  const COLUMN = 4.6; // as in drawing.py, in letter heights
  const CALLOUT = 2.35;

  const node = (name, attributes, text) => {
    const made = document.createElementNS("http://www.w3.org/2000/svg", name);
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
    if (text !== undefined) made.textContent = text;
    return made;
  };

  // Each gear's shaft, plane and letter, in mesh order.
  const seats = (idlers) => {
    const found = [];
    let shaft = 0;
    idlers.forEach((count, plane) => {
      found.push({ shaft, plane, name: NAMES[2 * plane] });
      for (let i = 1; i <= count; i++) found.push({ shaft: shaft + i, plane, name: "idler" });
      shaft += count + 1;
      found.push({ shaft, plane, name: NAMES[2 * plane + 1] });
    });
    return found;
  };

  const spread = (wanted, pitch, low, high) => {
    const placed = [];
    for (const value of wanted) placed.push(Math.max(value, placed.length ? placed.at(-1) + pitch : low));
    let ceiling = Math.max(high, low + pitch * (placed.length - 1));
    for (let i = placed.length - 1; i >= 0; i--) {
      placed[i] = Math.min(placed[i], ceiling);
      ceiling = placed[i] - pitch;
    }
    return placed;
  };

  const armEnds = (arm, angle) => arm.ends.map(([own, offset, end]) => {
    const a = ((own + angle + arm.turn) * Math.PI) / 180;
    return { x: end * Math.cos(a) - offset * Math.sin(a), y: -(end * Math.sin(a) + offset * Math.cos(a)), r: 11 };
  });

  const callouts = (items, letter, low, high, svg) => {
    const sorted = [...items].sort((a, b) => a.x - b.x);
    const half = Math.ceil(sorted.length / 2);
    let bottom = high.y;
    for (const [side, members] of [[-1, sorted.slice(0, half)], [1, sorted.slice(half)]]) {
      members.sort((a, b) => a.y - b.y);
      const pitch = CALLOUT * letter;
      const heights = spread(members.map((m) => m.y), pitch, low.y + pitch / 2, high.y - pitch / 2);
      const group = node("g", { "text-anchor": side < 0 ? "end" : "start" });
      members.forEach((item, i) => {
        const y = heights[i];
        const edge = side < 0 ? low.x : high.x;
        const start = { x: edge + side * 1.3 * letter, y };
        const away = Math.hypot(start.x - item.x, start.y - item.y);
        const t = item.r < away ? item.r / away : 0;
        const end = { x: item.x + t * (start.x - item.x), y: item.y + t * (start.y - item.y) };
        const x = edge + side * 1.6 * letter;
        group.append(
          node("path", { class: "leader", d: `M${start.x} ${start.y}L${end.x} ${end.y}` }),
          node("text", { class: "caption", x, y: y - 0.2 * letter }, item.name),
          node("text", { class: "value", x, y: y + 0.85 * letter }, item.value),
        );
        bottom = Math.max(bottom, y + pitch / 2);
      });
      svg.append(group);
    }
    return bottom;
  };

  return (data, way) => {
    const [layout, kinds, , , , angle, , studs] = way;
    const { arm } = data.frame;
    const shafts = arm ? [arm.driver, ...studs, [0, 0]] : studs;
    const gears = seats(data.layouts[layout]).map((seat, i) => {
      const kind = data.kinds[kinds[i]];
      const [x, y] = shafts[seat.shaft];
      return { ...seat, x, y, r: kind.radius, value: kind.teeth, symbol: kind.symbol };
    });
    const discs = [...gears];
    if (arm && angle !== null) discs.push(...armEnds(arm, angle));
    const biggest = gears.reduce((a, b) => (b.r > a.r ? b : a));
    if (arm?.cover) discs.push({ x: biggest.x, y: biggest.y, r: arm.cover });
    const low = { x: Math.min(...discs.map((d) => d.x - d.r)), y: Math.min(...discs.map((d) => d.y - d.r)) };
    const high = { x: Math.max(...discs.map((d) => d.x + d.r)), y: Math.max(...discs.map((d) => d.y + d.r)) };
    const letter = Math.max((high.x - low.x) / 15.5, (high.y - low.y) / 24);
    const svg = node("svg", { class: "train", role: "img", "font-size": letter });
    svg.setAttribute("aria-label", `Gear train: ${gears.map((g) => `${g.name} ${g.value}`).join(", ")}`);
    if (arm && angle !== null) svg.append(node("use", { href: "#arm", transform: `rotate(${-(angle + arm.turn)})` }));
    for (const g of gears) svg.append(node("use", { href: `#${g.symbol}`, x: g.x, y: g.y, class: `p${g.plane}` }));
    if (arm?.cover) svg.append(node("circle", { class: "cover", cx: biggest.x, cy: biggest.y, r: arm.cover }));
    if (arm) {
      svg.append(node("use", { href: "#frame" }));
      for (const [x, y] of studs) svg.append(node("use", { href: "#stud", x, y }));
    } else {
      for (const [x, y] of shafts) svg.append(node("use", { href: "#cross", x, y }));
    }
    const bottom = callouts(gears, letter, low, high, svg) + 2.2 * letter;
    const left = low.x - COLUMN * letter;
    const top = low.y - 0.4 * letter;
    svg.append(node("use", { href: "#scale", x: left + 3, y: bottom - 0.7 * letter }));
    svg.setAttribute("viewBox", `${left} ${top} ${high.x - low.x + 2 * COLUMN * letter} ${bottom - top}`);
    return svg;
  };
})();
