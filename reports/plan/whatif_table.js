"use strict";
// The what-if table: which ways there are to cut each thread, and which of them some gears allow.
// The page carries a way as its head and its gears (see whatif_data.py); load, error and place
// on the arm are worked out here.
const whatIfTable = (() => {
  const { first: FIRST_LETTER, digits: DIGITS, idler: IDLER_SHARE } = constants.ways;
  const data = {};

  // Where drivers and driven gears stand among the gears of a layout, stage by stage.
  const pairsOf = ({ idlers }) => {
    let at = 0;
    return idlers.map((count) => [at, (at += count + 2) - 1]);
  };

  // A way from its head and its gears: ratio, and tooth load (N for 1 N m at the leadscrew) from
  // the screw back to the spindle, as a Train has them.
  const wayOf = (head, setting, pairs, kinds) => {
    let over = setting.first[0] * setting.box[0];
    let under = setting.first[1] * setting.box[1];
    let torque = setting.box[0] / setting.box[1];
    let load = 0;
    for (let stage = pairs.length - 1; stage >= 0; stage--) {
      const [driver, driven] = pairs[stage].map((at) => data.kinds[kinds[at]]);
      load = Math.max(load, (2000 * torque) / (driven.module * driven.teeth));
      torque *= driver.teeth / driven.teeth;
      over *= driver.teeth;
      under *= driven.teeth;
    }
    return { layout: head[0], setting: head[1], exact: Boolean(head[2]), kinds, over, under, load, needs: neededOf(kinds) };
  };

  // How many of each kind a way needs, those that stay on the lathe left out.
  const neededOf = (kinds) => {
    const needs = [];
    for (const kind of kinds) {
      if (data.kinds[kind].held) continue;
      const known = needs.find(([other]) => other === kind);
      if (known) known[1] += 1;
      else needs.push([kind, 1]);
    }
    return needs;
  };

  // A list of ways, the one to set up first as `ranks` say, of each by its error how many of those
  // left come before it; `turn`: what one turn of the leadscrew cuts of the lead wanted.
  const listOf = (letters, ranks, turn) => {
    let read = 0;
    const number = (text, at) => text.charCodeAt(at) - FIRST_LETTER;
    const next = () => number(letters, read++);
    const found = [];
    while (read < letters.length) {
      const head = data.heads[next()];
      const count = next() * DIGITS + next();
      const layout = data.layouts[head[0]];
      const pairs = pairsOf(layout);
      const rows = Array.from({ length: count }, () => []);
      for (let column = 0; column < layout.shafts.length; column++) for (const row of rows) row.push(next());
      for (const row of rows) found.push(wayOf(head, data.settings[head[1]], pairs, row));
    }
    for (const way of found) way.error = way.exact ? 0 : (way.over / way.under) * turn - 1;
    const after = found.map(() => 0);
    let at = 0;
    for (let unit = 1; unit < found.length; unit *= DIGITS) {
      for (let i = 0; i < found.length - unit; i++) after[i] += unit * number(ranks, at++);
    }
    const left = [...found.keys()];
    const ranked = [];
    [...found].sort((a, b) => Math.abs(a.error) - Math.abs(b.error)).forEach((way, i) => {
      const [rank] = left.splice(after[i], 1);
      ranked[rank] = way;
    });
    return ranked;
  };

  // The largest share of what a tooth bears that some tooth carries, at the torque of the end
  // that drives, null where it can't be known; and that end. As `strength.loads` has them.
  const teethOf = (way) => {
    const { torques: [screw, cutting], drive, crank } = data.lathe;
    const { first, box } = data.settings[way.setting];
    const lever = first[0] / first[1];
    const turns = way.over / way.under;
    const end = drive ?? (turns > crank ? "screw" : "spindle");
    const gears = way.kinds.map((kind) => data.kinds[kind]);
    let torque = end === "screw" ? cutting / lever : (screw * turns) / lever;
    let share = 0;
    for (const [from, to] of pairsOf(data.layouts[way.layout])) {
      const load = (2000 * torque) / (gears[from].module * gears[from].teeth);
      torque *= gears[to].teeth / gears[from].teeth;
      for (let at = from; at < to; at++) {
        const face = Math.min(gears[at].face, gears[at + 1].face);
        for (const [gear, idler] of [[gears[at], at > from], [gears[at + 1], at + 1 < to]]) {
          share = share === null || gear.bears === null ? null
            : Math.max(share, load / (gear.bears * face * (idler ? IDLER_SHARE : 1)));
        }
      }
    }
    return { share, end, taken: gears.some((gear) => gear.taken) };
  };

  const take = async (table) => {
    Object.assign(data, table);
    await slices.pause();
    const lists = new Map();
    await slices.each(data.wants, ({ ways, turn }) => {
      if (!lists.has(ways)) lists.set(ways, listOf(data.ways[ways], data.ranks[ways], turn));
    });
    data.waysOf = data.wants.map(({ ways }) => lists.get(ways));
    await slices.pause();
  };

  // Unpacked when first asked, so that the map is painted before.
  let unpacking;
  const ready = () => (unpacking ??= unpack(document.getElementById("whatif-data"))
    .then((text) => text.json()).then(take));

  const allows = (counts) => ({ needs }) => needs.every(([kind, count]) => (counts[kind] ?? 0) >= count);

  const best = (want, counts) => {
    const able = allows(counts);
    const way = data.waysOf[want].find(able) ?? null;
    const exact = way && (way.exact ? way : data.waysOf[want].find((other) => other.exact && able(other)) ?? null);
    return { verdict: way ? (way.exact ? "exact" : "in tolerance") : "", way, exact };
  };
  const answers = (counts) => data.wants.map((_, want) => best(want, counts));

  // Whether ways that were left out could do better with these gears.
  const certain = (counts) =>
    data.complete || data.named.some(([named, radius]) =>
      named.reduce((sum, count, kind) => sum + Math.abs(count - (counts[kind] ?? 0)), 0) <= radius);

  // What may be done with the half-nuts, as `turning.half_nuts` has it where no length is asked.
  const nutsOf = (way, pitches, feed) => {
    const { dials, drive, crank, half_nuts: fitted, lead, starts, travel } = data.lathe;
    const end = drive ?? (way.over / way.under > crank ? "screw" : "spindle");
    if (!fitted || end === "screw") return "closed";
    if (pitches === 1 || feed) return "anywhere";
    if (dials.some((teeth) => teeth % pitches === 0)) return "dial";
    return travel !== null && pitches * (lead / starts) <= travel ? "standing" : "closed";
  };

  const stagesOf = ({ layout, kinds }) =>
    pairsOf(data.layouts[layout]).map(([first, last]) => kinds.slice(first, last + 1).map((kind) => data.kinds[kind].teeth));

  // Everything about one way that the setup shows, and the drawing needs.
  const details = (way) => {
    const { lathe } = data;
    const gears = way.kinds.map((kind) => data.kinds[kind]);
    const divisor = (a, b) => (b ? divisor(b, a % b) : a);
    const over = way.over * lathe.starts;
    const pitches = over / divisor(over, way.under);
    return {
      ...mounting.mount(lathe.arm, data.layouts[way.layout], gears),
      stages: stagesOf(way),
      teeth: teethOf(way),
      levers: data.settings[way.setting].words,
      turns: way.over / way.under,
      step: pitches * (lathe.lead / lathe.starts),
      nuts: (feed) => nutsOf(way, pitches, feed),
    };
  };

  return { answers, best, certain, data, details, ready, stagesOf, take, teethOf };
})();
