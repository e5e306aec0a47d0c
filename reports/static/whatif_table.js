"use strict";
// The what-if table: which ways there are to cut each thread, and which of them some gears allow.
// The page carries a way as its head and its gears (see whatif_data.py); load, error and place
// on the arm are worked out here.
const whatIfTable = (() => {
  const FIRST_LETTER = 93; // as in whatif_data.py
  const DIGITS = 64;
  const LOAD_UNIT = 1e-3; // N: as coarse as the plan compares loads
  const ERROR_UNIT = 1e-9;
  const data = {};

  const product = (numbers) => numbers.reduce((a, b) => a * b, 1);

  // Drivers and driven gears, stage by stage.
  const stagesOf = ({ idlers }, gears) => {
    let at = 0;
    return idlers.map((count) => gears.slice(at, (at += count + 2)));
  };

  // The most loaded mesh, N for 1 N m at the leadscrew: see optimizer/train.py.
  const loadOf = (stages, box) => {
    let torque = box;
    let most = 0;
    for (const stage of [...stages].reverse()) {
      const [driver, driven] = [stage[0], stage.at(-1)];
      most = Math.max(most, (2000 * torque) / (driven.module * driven.teeth));
      torque *= driver.teeth / driven.teeth;
    }
    return most;
  };

  const wayOf = ([layout, setting, exact], kinds) => {
    const { first, box } = data.settings[setting];
    const gears = kinds.map((kind) => data.kinds[kind]);
    const stages = stagesOf(data.layouts[layout], gears);
    const over = product(stages.map((stage) => stage[0].teeth)) * first[0] * box[0];
    const under = product(stages.map((stage) => stage.at(-1).teeth)) * first[1] * box[1];
    return { layout, setting, exact: Boolean(exact), kinds, over, under, load: loadOf(stages, box[0] / box[1]) };
  };

  // How many of each kind a way needs, those that stay on the lathe left out.
  const neededOf = ({ kinds }) => {
    const count = new Map();
    for (const kind of kinds) if (!data.kinds[kind].held) count.set(kind, (count.get(kind) ?? 0) + 1);
    return [...count];
  };

  // A list of ways, the one to set up first standing first; `turn`: what one turn of the
  // leadscrew cuts of the lead wanted.
  const listOf = (letters, turn) => {
    const read = { at: 0 };
    const next = () => letters.charCodeAt(read.at++) - FIRST_LETTER;
    const found = [];
    while (read.at < letters.length) {
      const head = data.heads[next()];
      const count = next() * DIGITS + next();
      const wide = data.layouts[head[0]].shafts.length;
      const kinds = Array.from({ length: count }, () => []);
      for (let column = 0; column < wide; column++) for (const row of kinds) row.push(next());
      for (const row of kinds) found.push(wayOf(head, row));
    }
    for (const way of found) {
      way.error = way.exact ? 0 : (way.over / way.under) * turn - 1;
      way.needs = neededOf(way);
      way.rank = [Math.round(way.load / LOAD_UNIT), Math.round(Math.abs(way.error) / ERROR_UNIT), way.kinds.length, ...way.kinds];
    }
    return found.sort(({ rank: a }, { rank: b }) => {
      const at = a.findIndex((value, i) => value !== b[i]);
      return at < 0 ? 0 : a[at] - b[at];
    });
  };

  const take = (table) => {
    Object.assign(data, table);
    const lists = new Map();
    data.waysOf = data.wants.map(({ ways, turn }) => {
      if (!lists.has(ways)) lists.set(ways, listOf(data.ways[ways], turn));
      return lists.get(ways);
    });
  };

  const unpack = async () => {
    const letters = atob(JSON.parse(document.getElementById("whatif-data").textContent));
    const bytes = Uint8Array.from(letters, (letter) => letter.charCodeAt(0));
    const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate"));
    take(await new Response(stream).json());
  };
  // Unpacked when first asked, so that the map is painted before.
  let unpacking;
  const ready = () => (unpacking ??= unpack());

  const allows = (counts) => ({ needs }) => needs.every(([kind, count]) => (counts[kind] ?? 0) >= count);

  const best = (want, counts) => {
    const able = allows(counts);
    const way = data.waysOf[want].find(able) ?? null;
    const exact = way && (way.exact ? way : data.waysOf[want].find((other) => other.exact && able(other)) ?? null);
    return { verdict: way ? (exact ? "exact" : "in tolerance") : "", way, exact };
  };
  const answers = (counts) => data.wants.map((_, want) => best(want, counts));

  // Whether ways that were left out could do better with these gears.
  const certain = (counts) =>
    data.complete || data.named.some(([named, radius]) =>
      named.reduce((sum, count, kind) => sum + Math.abs(count - (counts[kind] ?? 0)), 0) <= radius);

  // Everything about one way that the setup shows, and the drawing needs.
  const details = (way) => {
    const { lathe } = data;
    const gears = way.kinds.map((kind) => data.kinds[kind]);
    const stages = stagesOf(data.layouts[way.layout], gears);
    const divisor = (a, b) => (b ? divisor(b, a % b) : a);
    const over = way.over * lathe.starts;
    return {
      ...mounting.mount(lathe.arm, data.layouts[way.layout], gears),
      stages: stages.map((stage) => stage.map(({ teeth }) => teeth)),
      levers: data.settings[way.setting].words,
      turns: way.over / way.under,
      step: (over / divisor(over, way.under)) * (lathe.lead / lathe.starts),
    };
  };

  return { answers, best, certain, data, details, ready, take };
})();
