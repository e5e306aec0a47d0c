"use strict";
// What if: tick gears, and the map's last column, the counts, the setups and the list of what
// one gear more would unlock follow. Answers come from the table the page carries, packed: a
// way is unpacked to [layout, kinds, load, error, levers, arm, positions, studs, tightest, between].
const whatIf = (() => {
  const data = {};
  const presets = JSON.parse(document.getElementById("whatif-presets").textContent);
  const root = document.documentElement;
  const boxes = [...document.querySelectorAll(".ticks input")];
  const covers = document.getElementById("what-if-count");
  const STATES = {
    exact: ["exact", "=", "exact"],
    "in tolerance": ["in-tolerance", "≈", "in tolerance"],
    "": ["no-train", "–", "not with these"],
  };
  const step = Number(document.querySelector("#map .what-if-column").cellIndex) - 1;

  // How many of each kind a way needs, those that stay on the lathe left out.
  const needed = ([, kinds]) => {
    const count = new Map();
    for (const kind of kinds) if (!data.kinds[kind].held) count.set(kind, (count.get(kind) ?? 0) + 1);
    return [...count];
  };
  let needs;

  const unpack = async () => {
    const letters = atob(JSON.parse(document.getElementById("whatif-data").textContent));
    const bytes = Uint8Array.from(letters, (letter) => letter.charCodeAt(0));
    const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate"));
    const table = await new Response(stream).json();
    const lists = table.ways.map((ways) => ways.map(([train, error]) => {
      const [layout, kinds, load, ...rest] = table.trains[train];
      return [layout, kinds, load, error, ...rest];
    }));
    Object.assign(data, table, { ways: table.wants.map((want) => lists[want.ways]) });
    const needsOf = lists.map((ways) => ways.map(needed));
    needs = table.wants.map((want) => needsOf[want.ways]);
  };
  // Unpacked when first asked, so that the map is painted before.
  let unpacking;
  const ready = () => (unpacking ??= unpack());

  const best = (want, counts) => {
    let first = null;
    let exact = null;
    data.ways[want].forEach((way, i) => {
      if (!needs[want][i].every(([kind, count]) => (counts[kind] ?? 0) >= count)) return;
      first ??= way;
      if (way[3] === 0) exact ??= way;
    });
    return { verdict: first ? (exact ? "exact" : "in tolerance") : "", way: first, exact };
  };
  const answers = (counts) => data.wants.map((_, want) => best(want, counts));

  const ticked = () => {
    const counts = {};
    for (const box of boxes) if (box.checked) counts[box.dataset.kind] = (counts[box.dataset.kind] ?? 0) + 1;
    return counts;
  };

  // In words

  const minus = (text) => text.replace("-", "\u2212");
  const errorText = (error) => {
    if (error === 0) return "no error";
    const sign = error > 0 ? "+" : "\u2212";
    const size = Math.abs(error);
    if (size < 0.5e-6) return `${sign}<1\u202fppm`;
    return size < 1e-3 ? `${sign}${Math.round(size * 1e6)}\u202fppm` : `${sign}${(size * 100).toFixed(2)}\u202f%`;
  };
  const trainText = ([layout, kinds]) => {
    const teeth = kinds.map((kind) => data.kinds[kind].teeth);
    let at = 0;
    return data.layouts[layout].map((idlers) => {
      const stage = teeth.slice(at, at + idlers + 2);
      at += idlers + 2;
      return [stage[0], ...stage.slice(1, -1).map((t) => `(${t})`), stage.at(-1)].join("/");
    }).join(" × ");
  };
  const element = (name, className, ...content) => {
    const made = document.createElement(name);
    if (className) made.className = className;
    made.append(...content);
    return made;
  };
  const stateMark = (verdict) => {
    const [slug, symbol, word] = STATES[verdict];
    const sign = element("span", "sym", symbol);
    sign.setAttribute("aria-hidden", "true");
    return { slug, parts: [sign, " ", element("span", "word", word)] };
  };

  // The map's column and the setup

  let now = [];
  const paintMap = () => {
    data.wants.forEach((want, i) => {
      const cell = document.querySelector(`tr[data-want="${CSS.escape(want.id)}"] .what-if-column`);
      const { slug, parts } = stateMark(now[i].verdict);
      cell.className = `v what-if-column ${slug}${cell.classList.contains("chosen") ? " chosen" : ""}`;
      const link = cell.querySelector("a");
      link.replaceChildren(...parts);
      if (now[i].verdict === "in tolerance") link.append(" ", element("span", "under", errorText(now[i].way[3])));
    });
  };

  const factsOf = (want, way, exact) => {
    const [, , load, error, levers, angle, positions, , tightest, between] = way;
    const rows = [["Error", error ? `${errorText(error)} (${(Math.abs(error) / want.allowed * 100).toFixed(0)}\u202f% of the allowance)` : "no error"],
      ["Tooth load", `${load.toFixed(0)}\u202fN for 1 N m at the leadscrew`]];
    if (data.levers[levers]) rows.push(["Levers", data.levers[levers]]);
    positions.forEach((at, i) => rows.push([positions.length > 1 ? `Stud ${i + 1}` : "Stud", `${at.toFixed(1)}\u202fmm along its slot`]));
    if (angle !== null) rows.push(["Arm", minus(`${angle.toFixed(1)}°`)]);
    if (tightest != null) rows.push(["Tightest", `${tightest.toFixed(1)}\u202fmm: ${data.between[between]}`]);
    if (exact && exact !== way) rows.push(["Without error", `${trainText(exact)}, tooth load ${exact[2].toFixed(0)}\u202fN`]);
    return element("dl", "facts", ...rows.map(([label, value]) =>
      element("div", "", element("dt", "", label), element("dd", "", value))));
  };

  const fill = (ident) => {
    const setup = document.getElementById(ident);
    setup.querySelector(".train-sheet.what-if")?.remove();
    if (!root.dataset.ticked) return;
    const i = data.wants.findIndex((want) => want.id === ident);
    if (i < 0 || !now[i].way) return;
    const { slug, parts } = stateMark(now[i].way[3] === 0 ? "exact" : "in tolerance");
    const title = element("h4", "", element("span", "gears", trainText(now[i].way)), " ",
      element("span", `state ${slug}`, ...parts), " ", element("span", "soft when", "what if"));
    const figure = element("figure", "", drawTrain(data, now[i].way));
    const sheet = element("div", "train-sheet what-if", title, element("div", "train-body", figure, factsOf(data.wants[i], now[i].way, now[i].exact)));
    sheet.dataset.steps = String(step);
    setup.querySelector("[data-no-train]").before(sheet);
  };

  // The outcome

  const sum = (list) => list.reduce((total, i) => total + data.wants[i].weight, 0);
  const tidy = (weight) => String(Math.round(weight * 100) / 100);
  const coveredBy = (found) => found.flatMap((answer, i) => (answer.verdict ? [i] : []));

  const furtherGears = (counts, had) => {
    const known = new Set(had);
    return data.kinds.flatMap((kind, k) => {
      if (kind.held || (counts[k] ?? 0) >= kind.most) return [];
      const more = { ...counts, [k]: (counts[k] ?? 0) + 1 };
      const won = data.wants.flatMap((_, i) => (!known.has(i) && best(i, more).verdict ? [i] : []));
      return [{ teeth: kind.teeth, won, weight: sum(won) }];
    }).filter(({ won }) => won.length).sort((a, b) => b.weight - a.weight || a.teeth - b.teeth);
  };

  const latheLines = (counts) => {
    const owned = [...data.kept.owned];
    const special = [];
    data.kinds.forEach((kind, k) => {
      const count = kind.held ? 0 : counts[k] ?? 0;
      if (!count) return;
      if (kind.special) special.push(`[[gears.special]]\nteeth = ${kind.teeth}\ncount = ${count}\n${kind.special}`);
      else owned.push(...Array(count).fill(kind.teeth));
    });
    owned.sort((a, b) => a - b);
    return [`owned = [${owned.join(", ")}]`, ...special, ...data.kept.tables].join("\n\n");
  };

  // The address: tooth counts; a second kind of one tooth count has a letter behind it.
  const nameOf = (k) => {
    const { teeth } = data.kinds[k];
    const before = data.kinds.slice(0, k).filter((kind) => kind.teeth === teeth).length;
    return `${teeth}${before ? String.fromCharCode(97 + before) : ""}`;
  };
  const written = () => boxes.filter((box) => box.checked).map((box) => nameOf(Number(box.dataset.kind))).join(".") || "none";
  const inAddress = () => new URLSearchParams(decodeURIComponent(location.hash).split("~")[1] ?? "").get("gears");

  const tick = (kinds) => {
    const left = [...kinds];
    for (const box of boxes) {
      const place = left.indexOf(Number(box.dataset.kind));
      box.checked = place >= 0;
      if (place >= 0) left.splice(place, 1);
    }
  };

  // What is said of the gears ticked; the map follows once somebody has chosen them.
  const tell = () => {
    const counts = ticked();
    now = answers(counts);
    const had = coveredBy(now);
    covers.textContent =
      `With these gears: ${covers.hasAttribute("data-at-least") ? "at least " : ""}${had.length} of ${now.length} threads, weight ${tidy(sum(had))} of ${tidy(sum(data.wants.map((_, i) => i)))}.`;
    const next = furtherGears(counts, had).map(({ teeth, won, weight }) =>
      element("li", "", element("b", "", String(teeth)), ` weight ${tidy(weight)}: ${won.map((i) => data.wants[i].name).join(", ")}`));
    document.getElementById("what-if-next").replaceChildren(
      ...(next.length ? next : [element("li", "", had.length === now.length ? "Nothing: every thread is covered." : "No single gear of these.")]));
    document.getElementById("what-if-lines").value = latheLines(counts);
  };

  const update = async (byHand) => {
    await ready();
    tell();
    root.dataset.ticked = "yes";
    paintMap();
    const scroller = document.getElementById("map").parentElement;
    if (byHand) scroller.scrollLeft = scroller.scrollWidth;
    document.dispatchEvent(new CustomEvent("what-if", { detail: { byHand, gears: written() } }));
  };

  const preset = (number) => {
    tick(presets[number]);
    update(true);
  };

  const follow = async () => {
    await ready();
    const gears = inAddress();
    if (gears === null || (root.dataset.ticked && gears === written())) return;
    const names = data.kinds.map((_, k) => nameOf(k));
    tick(gears.split(".").map((name) => names.indexOf(name)));
    await update(false);
  };

  const start = async () => {
    try {
      await ready();
    } catch {
      covers.textContent = "This browser is too old to answer here.";
      return;
    }
    tell();
    await follow();
    addEventListener("hashchange", follow);
  };
  addEventListener("load", () => setTimeout(start));
  for (const box of boxes) box.addEventListener("change", () => update(true));
  for (const button of document.querySelectorAll("[data-preset]")) {
    button.addEventListener("click", () => preset(button.dataset.preset));
  }
  document.getElementById("what-if-copy").addEventListener("click", () => {
    const lines = document.getElementById("what-if-lines");
    lines.select();
    if (navigator.clipboard) navigator.clipboard.writeText(lines.value).catch(() => document.execCommand("copy"));
    else document.execCommand("copy");
  });
  document.addEventListener("setup-fill", (event) => fill(event.detail.want));
  return { answers, data, ready };
})();
