"use strict";
// What if: tick gears, and the map's last column, the counts, the setups and the list of what
// one gear more would unlock follow. The answers come from whatif_table.js.
const whatIf = (() => {
  const { answers, best, certain, data, ready, stagesOf, teethOf } = whatIfTable;
  const { error } = figures;
  const presets = JSON.parse(document.getElementById("whatif-presets").textContent);
  const root = document.documentElement;
  const boxes = [...document.querySelectorAll(".ticks input")];
  const covers = document.getElementById("what-if-count");
  const bar = document.getElementById("ticked");
  const columnSum = document.querySelector("#map .what-if-column .column-sum");
  const marks = new Map(constants.verdicts.map((mark) => [mark.word, mark]));
  const without = (word) => ({ slug: marks.get("no train").slug, word });
  const markOf = (verdict) => marks.get(verdict) ?? without(sure ? "not with these" : "none found");
  const ownStep = Number(document.querySelector("#map .what-if-column").dataset.step);

  const counted = (kinds) => {
    const counts = {};
    for (const kind of kinds) counts[kind] = (counts[kind] ?? 0) + 1;
    return counts;
  };
  const ticked = () => counted(boxes.filter((box) => box.checked).map((box) => box.dataset.kind));

  // In words

  const trainText = (stages) =>
    stages.map((stage) => [stage[0], ...stage.slice(1, -1).map((t) => `(${t})`), stage.at(-1)].join("/")).join(" × ");
  const element = (name, className, ...content) => {
    const made = document.createElement(name);
    if (className) made.className = className;
    made.append(...content);
    return made;
  };
  // The map's column

  // Of a great many threads the count is told first, and the rest follows a slice at a time.
  const MANY = 200;
  const many = cells.rows.length > MANY;
  const inTurn = many ? slices.each : async (list, work) => {
    list.forEach((one) => work(one));
    return true;
  };
  let now = [];
  let sure = true;
  const paintMap = (wanted) => {
    const places = new Map(data.wants.map(({ id }, i) => [id, i]));
    return inTurn(cells.rows, (row) => {
      const i = places.get(row.dataset.want);
      const want = data.wants[i];
      const cell = cells.cellOf(row, ownStep);
      const { verdict, way } = now[i];
      const { slug, word } = markOf(verdict);
      const had = cells.covered(row, 0);
      const gained = verdict && !had;
      const better = verdict === "exact" && !cells.exact(row, 0);
      const over = Boolean(way) && teethOf(way).share > 1;
      const weight = gained ? "gained" : !verdict ? "missing" : better ? "better" : "";
      cell.className = `what-if-column ${slug} ${weight}${over ? " over" : ""}${cell.classList.contains("chosen") ? " chosen" : ""}`;
      const note = element("i", "", verdict === "in tolerance"
        ? element("u", "", "in tolerance ") : "", verdict === "in tolerance" ? error(way.error, false, want.allowed) : word);
      cell.querySelector("a").replaceChildren(...(way ? [element("b", "", trainText(stagesOf(way))), " "] : []), note,
        ...(over ? [" ", element("i", "", constants.ways.overloaded)] : []));
      map.name(cell);
    }, wanted);
  };

  // The outcome

  const sum = (list) => list.reduce((total, i) => total + data.wants[i].weight, 0);
  const tidy = (weight) => String(Math.round(weight * 100) / 100);
  const coveredBy = (found) => found.flatMap((answer, i) => (answer.verdict ? [i] : []));

  const furtherGears = async (counts, had, wanted) => {
    const known = new Set(had);
    const found = [];
    const whole = await inTurn([...data.kinds.entries()], ([k, kind]) => {
      if (kind.held || (counts[k] ?? 0) >= kind.most) return;
      const more = { ...counts, [k]: (counts[k] ?? 0) + 1 };
      const won = data.wants.flatMap((_, i) => (!known.has(i) && best(i, more).verdict ? [i] : []));
      if (won.length) found.push({ k, teeth: kind.teeth, won, weight: sum(won) });
    }, wanted);
    return whole && found.sort((a, b) => b.weight - a.weight || a.teeth - b.teeth);
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
  const inAddress = () => {
    try {
      return new URLSearchParams(decodeURIComponent(location.hash).split("~")[1] ?? "").get("gears");
    } catch {
      return null; // a link that was cut short
    }
  };

  const tick = (kinds) => {
    const left = [...kinds];
    for (const box of boxes) {
      const place = left.indexOf(Number(box.dataset.kind));
      box.checked = place >= 0;
      if (place >= 0) left.splice(place, 1);
    }
  };

  // The gears ticked beyond those owned, and those owned that are not: "with 63, without 30".
  const chosen = () => {
    const counts = ticked();
    const listed = (more) => data.kinds.flatMap(({ teeth, own, held }, k) =>
      Array(held ? 0 : Math.max(0, more((counts[k] ?? 0) - own))).fill(teeth)).join(", ");
    const [added, gone] = [listed((by) => by), listed((by) => -by)];
    return [added && `with ${added}`, gone && `without ${gone}`].filter(Boolean).join(", ") || "as it is";
  };
  // Threads by name, each a link to it; of a great many the first.
  const NAMED = 30;
  const namesOf = (list) => list.slice(0, NAMED).flatMap((i, n) => {
    const link = element("a", "", data.wants[i].name);
    link.href = `#${data.wants[i].id}`;
    return n ? [", ", link] : [link];
  }).concat(list.length > NAMED ? ` and ${list.length - NAMED} more` : []);

  // What is said of the gears ticked; the map follows once somebody has chosen them.
  const tell = () => {
    const counts = ticked();
    now = answers(counts);
    sure = certain(counts);
    const had = coveredBy(now);
    covers.textContent =
      `With these gears: ${sure ? "" : "at least "}${had.length} of ${now.length} threads, weight ${tidy(sum(had))} of ${tidy(sum(data.wants.map((_, i) => i)))}.`;
    document.getElementById("what-if-lines").value = latheLines(counts);
  };
  const tellNext = async (wanted) => {
    const had = coveredBy(now);
    const found = await furtherGears(ticked(), had, wanted);
    if (!found) return;
    const next = found.map(({ k, teeth, won, weight }) => {
      const button = element("button", "", String(teeth));
      button.type = "button";
      button.ariaLabel = `tick ${teeth}`;
      button.dataset.kind = k;
      return element("li", "", button, ` weight ${tidy(weight)}: `, ...namesOf(won));
    });
    document.getElementById("what-if-next").replaceChildren(
      ...(next.length ? next : [element("li", "", had.length === now.length ? "Nothing: every thread is covered." : `No single gear of these${sure ? "" : " that was looked at"}.`)]));
  };

  // What the last tick won and lost is told beside the count.
  const changes = (before) => {
    const had = coveredBy(now);
    const won = had.filter((i) => !before.includes(i));
    const lost = before.filter((i) => !had.includes(i));
    const said = [["Won by this: ", won], ["Lost: ", lost]]
      .flatMap(([head, list]) => (list.length ? [head, ...namesOf(list), ". "] : []));
    return said.length ? said : ["No thread more or less."];
  };

  const states = []; // what was ticked before each change, to undo it
  const checked = () => boxes.filter((box) => box.checked).map((box) => Number(box.dataset.kind));
  let known = null; // the gears of which was last told

  let from = null; // what was last used to tick, to go back to
  let latest = 0; // of all changes
  const update = async (byHand) => {
    if (byHand && !bar.contains(document.activeElement)) from = document.activeElement;
    await ready();
    const change = ++latest;
    const wanted = () => change === latest;
    const before = coveredBy(known ? now : answers(counted(presets[0])));
    if (byHand) states.push(known);
    tell();
    known = checked();
    bar.hidden = false;
    bar.querySelector("b").textContent = `Your ticks: ${chosen()}.`;
    bar.querySelector("[role=status]").replaceChildren(covers.textContent.replace("With these gears: ", ""), " ", ...changes(before));
    bar.querySelector("[data-undo]").disabled = !states.length;
    columnSum.textContent = `${coveredBy(now).length} of ${now.length}`;
    if (many) await slices.painted();
    if (!wanted()) return;
    root.dataset.ticked = "yes";
    document.dispatchEvent(new CustomEvent("what-if", { detail: { byHand, gears: written() } }));
    if (await paintMap(wanted)) await tellNext(wanted);
  };

  // The column goes, and with it what was ticked.
  const close = () => {
    const change = ++latest;
    states.length = 0;
    known = null;
    tick(presets[0]);
    tell();
    tellNext(() => change === latest);
    delete root.dataset.ticked;
    if (bar.contains(document.activeElement) && from?.isConnected) from.focus();
    bar.hidden = true;
    document.dispatchEvent(new CustomEvent("what-if", { detail: { byHand: true, gears: "" } }));
  };
  const undo = async () => {
    const last = states.pop();
    if (!last) {
      close();
      return;
    }
    tick(last);
    await update(false);
    document.dispatchEvent(new CustomEvent("what-if", { detail: { byHand: true, gears: written() } }));
  };

  const take = (kinds) => {
    tick(kinds);
    return update(true);
  };
  const add = (kinds) => take([...presets[0], ...kinds]);

  const follow = async () => {
    await ready();
    const gears = inAddress();
    if (gears === null || (root.dataset.ticked && gears === written())) return;
    const names = data.kinds.map((_, k) => nameOf(k));
    const known = gears.split(".").filter((name) => names.includes(name));
    if (!known.length && gears !== "none") return; // a link from another report
    tick(known.map((name) => names.indexOf(name)));
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
    await slices.pause();
    await tellNext(() => !latest);
    await follow();
    addEventListener("hashchange", follow);
  };
  addEventListener("load", () => setTimeout(start));
  for (const box of boxes) box.addEventListener("change", () => update(true));
  for (const button of document.querySelectorAll("[data-preset]")) {
    button.addEventListener("click", () => take(presets[button.dataset.preset]));
  }
  for (const button of document.querySelectorAll("[data-try]")) {
    button.addEventListener("click", () => add(button.dataset.try.split(" ").map(Number)));
  }
  bar.querySelector("[data-undo]").addEventListener("click", undo);
  addEventListener("keydown", (event) => {
    const typing = event.target.matches?.("input[type=search], textarea");
    if (event.key !== "z" || !(event.ctrlKey || event.metaKey) || event.shiftKey || typing || !states.length) return;
    event.preventDefault();
    undo();
  });
  bar.querySelector("[data-close]").addEventListener("click", close);
  document.getElementById("what-if-next").addEventListener("click", ({ target }) => {
    if (target.dataset.kind) take([...checked(), Number(target.dataset.kind)]);
  });
  document.getElementById("what-if-csv").addEventListener("click", async () => {
    await ready();
    tell();
    const rows = data.wants.map((want, i) => {
      const { verdict, way } = now[i];
      return [want.name, Number(want.pitch.toFixed(9)), want.weight, markOf(verdict).word, ...(way ? [way.error, trainText(stagesOf(way))] : ["", ""])];
    });
    saving.csv("what-if", [["name", "pitch mm", "weight", "verdict", "error", "train"], ...rows]);
  });
  document.getElementById("what-if-copy").addEventListener("click", ({ target }) => {
    target.textContent = "Copied";
    setTimeout(() => { target.textContent = "Copy the lines"; }, 2000);
    const lines = document.getElementById("what-if-lines");
    lines.select();
    if (navigator.clipboard) navigator.clipboard.writeText(lines.value).catch(() => document.execCommand("copy"));
    else document.execCommand("copy");
  });
  // The gears of a step, or those ticked, counted by kind; null where none are.
  const gearsOf = (step) => {
    if (step === ownStep) return root.dataset.ticked ? ticked() : null;
    return counted(presets[step]);
  };
  return { add, element, gearsOf, markOf, ownStep, trainText };
})();
