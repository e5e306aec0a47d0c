"use strict";
// The lettering of a train's drawing, placed as labels.py and lettering.py place it and by their
// figures: callouts in a column on either side, figures along lines, nothing over anything else.
const lettering = (() => {
  const { callout: CALLOUT, figure: FIGURE_WIDTH, bold: BOLD_WIDTH, leader: LEADER, text: TEXT } = constants.lettering;
  const { caption: CAPTION, value: VALUE, middle: MIDDLE, high: HIGH } = constants.lettering;
  const { captionWidth: CAPTION_WIDTH, valueWidth: VALUE_WIDTH } = constants.lettering;
  const { places: PLACES_ALONG, room: ROOM_ALONG, above: ABOVE } = constants.lettering;
  const { directions: DIRECTIONS, depths: DEPTHS, clear: CLEAR } = constants.lettering;
  const radians = (degrees) => (degrees * Math.PI) / 180;

  const node = (name, attributes, ...content) => {
    const made = document.createElementNS("http://www.w3.org/2000/svg", name);
    for (const [key, value] of Object.entries(attributes)) if (value !== null) made.setAttribute(key, value);
    made.append(...content);
    return made;
  };

  // Positions at least `pitch` apart and near the wanted ones.
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

  // Positions at least `pitch` apart, as near to the wanted ones as they can lie.
  const mean = (values) => values.reduce((sum, value) => sum + value, 0) / values.length;
  const gathered = (wanted, pitch, low, high) => {
    const pools = [];
    wanted.forEach((value, i) => {
      pools.push([value - i * pitch]);
      while (pools.length > 1 && mean(pools.at(-2)) > mean(pools.at(-1))) pools.splice(-2, 2, pools.at(-2).concat(pools.at(-1)));
    });
    const most = Math.max(low, high - pitch * (wanted.length - 1));
    return pools.flatMap((pool) => pool.map(() => mean(pool)))
      .map((start, i) => Math.min(Math.max(start, low), most) + i * pitch);
  };

  const textBox = ([x, y], width, height, angle) => {
    const [c, s] = [Math.cos(radians(angle)), Math.sin(radians(angle))];
    return [[-1, -1], [1, -1], [1, 1], [-1, 1]].map(([i, j]) =>
      [x + (c * width * i - s * height * j) / 2, y + (s * width * i + c * height * j) / 2]);
  };

  // Whether two convex polygons (a line counts as one) share area: separating axes.
  const overlap = (one, other) => [one, other].every((polygon) => polygon.every(([x1, y1], i) => {
    const [x2, y2] = polygon[(i + 1) % polygon.length];
    const [a, b] = [y1 - y2, x2 - x1];
    if (a === 0 && b === 0) return true;
    const first = one.map(([x, y]) => a * x + b * y);
    const second = other.map(([x, y]) => a * x + b * y);
    return Math.max(...first) > Math.min(...second) && Math.max(...second) > Math.min(...first);
  }));

  // Where a text fits along a line, clear of what is taken; null where it does not.
  const along = (start, end, width, height, taken) => {
    const [dx, dy] = [end[0] - start[0], end[1] - start[1]];
    if (Math.hypot(dx, dy) < width * ROOM_ALONG) return null;
    const direction = (Math.atan2(dy, dx) * 180) / Math.PI;
    const angle = ((((direction + 90) % 180) + 180) % 180) - 90;
    const normal = [Math.sin(radians(angle)), -Math.cos(radians(angle))];
    for (const side of [1, -1]) {
      for (const t of PLACES_ALONG) {
        const centre = [0, 1].map((i) => start[i] + t * [dx, dy][i] + side * normal[i] * height * ABOVE);
        const box = textBox(centre, width, height, angle);
        if (!taken.some((other) => overlap(box, other))) return { centre, angle, box };
      }
    }
    return null;
  };

  // Where a number shows whole within its disc; null where there is no room.
  const inDisc = ([[x, y], radius], width, height, blocked, taken) => {
    const room = CLEAR * height;
    for (const depth of DEPTHS) {
      for (const angle of DIRECTIONS) {
        const [u, v] = [x + depth * radius * Math.cos(radians(angle)), y + depth * radius * Math.sin(radians(angle))];
        if (Math.hypot(Math.abs(u - x) + width / 2, Math.abs(v - y) + height / 2) > radius - room) continue;
        const hidden = blocked.some(([[a, b], size]) =>
          Math.hypot(Math.max(Math.abs(u - a) - width / 2, 0), Math.max(Math.abs(v - b) - height / 2, 0)) < size + room);
        if (hidden) continue;
        const box = textBox([u, v], width, height, 0);
        if (!taken.some((other) => overlap(box, other))) return box;
      }
    }
    return null;
  };

  const shortOf = (target, start, radius) => {
    const away = Math.hypot(start[0] - target[0], start[1] - target[1]);
    if (radius === 0 || away <= radius) return target;
    const t = radius / away;
    return target.map((value, i) => value + t * (start[i] - value));
  };

  // Callouts {caption, value, target, radius, measured} in two columns: drawn, the room they
  // take, and where they end below.
  const callouts = (items, { low, high, letter }) => {
    const sorted = [...items].sort((a, b) => a.target[0] - b.target[0]);
    const half = Math.ceil(sorted.length / 2);
    const pitch = CALLOUT * letter;
    const [named, measured, columns, taken] = [[], [], [], []];
    let bottom = high[1];
    for (const [side, members] of [[-1, sorted.slice(0, half)], [1, sorted.slice(half)]]) {
      members.sort((a, b) => a.target[1] - b.target[1]);
      const heights = spread(members.map(({ target }) => target[1]), pitch, low[1] + pitch / 2, high[1] - pitch / 2);
      const edge = side < 0 ? low[0] : high[0];
      const x = edge + side * TEXT * letter;
      const layers = [[], []];
      members.forEach((callout, i) => {
        const { caption, value, target, radius } = callout;
        const y = heights[i];
        const start = [edge + side * LEADER * letter, y];
        const end = shortOf(target, start, radius);
        const width = Math.max(caption.length * CAPTION_WIDTH, value.length * VALUE_WIDTH) * letter;
        taken.push([start, end], textBox([x + (side * width) / 2, y], width, pitch * HIGH, 0));
        (callout.measured ? measured : named).push(node("path", { d: `M${start}L${end}` }));
        bottom = Math.max(bottom, y + pitch / 2);
        const lines = value
          ? [[caption, CAPTION, null], [value, VALUE, /\d/.test(value) ? "v" : null]] : [[caption, MIDDLE, null]];
        layers[callout.measured ? 1 : 0].push(...lines.map(([text, below, look]) =>
          node("text", { class: look, y: y + below * letter }, text)));
      });
      if (!members.length) continue;
      const layer = layers[1].length ? [node("g", { class: "dims" }, ...layers[1])] : [];
      columns.push(node("g", { class: "callouts", "text-anchor": side < 0 ? "end" : null, transform: `translate(${x})` }, ...layers[0], ...layer));
    }
    const leaders = [["leader", named], ["leader to-point dims", measured]]
      .flatMap(([kind, lines]) => (lines.length ? [node("g", { class: kind }, ...lines)] : []));
    return { parts: [...leaders, ...columns], taken, bottom };
  };

  // The text along each line [from, to, text] that has room for it.
  const distances = (lines, { letter }, taken) => {
    const room = [...taken];
    const texts = lines.flatMap(([start, end, text]) => {
      const figure = along(start, end, text.length * FIGURE_WIDTH * letter, letter * HIGH, room);
      if (!figure) return [];
      room.push(figure.box);
      const angle = Math.round(figure.angle);
      const [c, s] = [Math.cos(radians(-angle)), Math.sin(radians(-angle))];
      const [u, v] = figure.centre;
      return [node("text", { x: u * c - v * s, y: u * s + v * c + MIDDLE * letter, transform: `rotate(${angle})` }, text)];
    });
    return texts.length ? [node("g", { class: "distances dims" }, ...texts)] : [];
  };

  return { BOLD_WIDTH, MIDDLE, callouts, distances, gathered, inDisc, node, textBox };
})();
