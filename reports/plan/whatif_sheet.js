"use strict";
// Trains of gears ticked, and what else the gears of a step would do: as sheets, with the same
// lines as trains/view.py gives the steps, and as rows of the table of trains.
const whatIfSheets = (() => {
  const { best, data, details, ready, stagesOf, teethOf } = whatIfTable;
  const { element, gearsOf, markOf, ownStep, trainText } = whatIf;
  const { figure, significant, lengths, degrees, newtons, percent, pitches, error } = figures;
  const LIGHTER = 0.9; // of the share of the train shown: less would not be felt

  const missingOf = ({ needs }) =>
    needs.flatMap(([kind, count]) => Array(Math.max(0, count - data.kinds[kind].own)).fill(data.kinds[kind].teeth)).sort((a, b) => a - b).join(", ");

  const shareOf = (allowed, way) => {
    if (way.exact) return "";
    return allowed ? `${percent(Math.abs(way.error) / allowed)} of the allowance` : "none is allowed";
  };

  // As `wording.teeth_words`, `teeth_used` and `half_nuts_words` say it.
  const teethWords = ({ share, end, taken }) => share === null ? ["unchecked", constants.ways.unchecked]
    : [percent(share), `${share > 1 ? "OVERLOADED: " : ""}of what they bear, driven from the ${end}${taken ? constants.ways.face : ""}`];
  const teethUsed = ({ share, end }, load) => share === null ? `tooth load ${figure(load)} N per N m, strength unchecked`
    : `teeth at ${percent(share)}${end === "screw" ? ", driven from the screw" : ""}${share > 1 ? ": OVERLOADED" : ""}`;
  const nutsWords = (shown, feed) => {
    const { half_nuts: fitted, inch, travel } = data.lathe;
    const { nuts, closed } = constants.ways;
    const how = shown.nuts(feed);
    const step = lengths(shown.step, inch, 2);
    if (how === "standing") return [nuts[how], `step ${step}`];
    if (how !== "closed") return [nuts[how], ""];
    const why = shown.teeth.end === "screw" ? closed.screw : !fitted ? closed.none : travel === null ? closed.travel : closed.long + step;
    return [nuts[how], why];
  };

  const mountOf = (way, shown) => {
    const { arm, inch } = data.lathe;
    const rows = [];
    const missing = missingOf(way);
    if (missing) rows.push(["To add", missing, "not among the gears owned"]);
    if (shown.levers) rows.push(["Levers", shown.levers]);
    shown.positions.forEach((at, i) => {
      const gears = shown.seats.filter(({ shaft }) => shaft === i + 1).map(({ teeth }) => teeth);
      const name = shown.positions.length > 1 ? `Stud ${i + 1}` : "Stud";
      rows.push([name, lengths(at, inch), `in ${arm.names[shown.slots[i]]}: ${gears.join(", ")}`]);
    });
    if (shown.angle !== null) rows.push(["Arm", degrees(shown.angle)]);
    if (shown.gaps.length) rows.push(["Tightest", lengths(shown.tightest, inch), shown.gaps[0].between]);
    return rows;
  };

  // As `wording.turns_advice` says it.
  const turnsWords = (want, [, words, screw]) => (screw ? words : want.hand || words);

  const cutOf = (want, way, shown, exact) => {
    const { inch, lead, bands } = data.lathe;
    const cuts = pitches(shown.turns * lead, inch);
    const rows = [["Half-nuts", ...nutsWords(shown, want.feed)],
      ["Screw turns", significant(shown.turns), turnsWords(want, bands.find(([above]) => shown.turns > above))],
      ["Cuts", `${cuts[0]} (${cuts[1]})`],
      ["Error", error(way.error, way.exact, want.allowed), shareOf(want.allowed, way)],
      ["Teeth", ...teethWords(shown.teeth)],
      ["Tooth load", newtons(way.load)]];
    if (exact && exact !== way) rows.splice(4, 0, ["Without error", trainText(stagesOf(exact)), teethUsed(details(exact).teeth, exact.load)]);
    return rows;
  };

  const factsOf = (title, rows) => (rows.length ? [element("h5", "", title), element("dl", "facts", ...rows.flatMap(([label, value, note]) => [
    element("dt", "", label),
    element("dd", "", value, ...(note ? [element("small", "", `, ${note}`)] : []))]))] : []);

  const wayShown = ({ names, seats }) => element("h4", "way", ...names.flatMap((name, i) => [
    element("span", "", element("i", "", name), " ",
      ...seats.filter(({ shaft }) => shaft === i).flatMap(({ teeth }) => [element("b", "", teeth), " "])), " "]));

  // What drawn.js draws it from, as `view.place_of` writes it.
  const placeOf = (way, shown) => {
    const gears = way.kinds.map((kind) => `${data.kinds[kind].teeth}:${data.kinds[kind].module}`).join(" ");
    const on = data.lathe.arm ? [shown.angle ?? "", shown.slots.join(" "), shown.positions.join(" ")] : [];
    return [way.layout, gears, ...on].join("|");
  };

  const keyOf = (shown) => [trainText(shown.stages), shown.levers].filter(Boolean).join(", ");

  const sheetOf = (want, way, exact, steps, when) => {
    const { slug, word } = markOf(way.exact ? "exact" : "in tolerance");
    const shown = details(way);
    const { arm, inch } = data.lathe;
    const ruling = element("p", "ruling", element("span", `state ${slug}`, word), " ",
      element("span", "gears", trainText(shown.stages)), " ", element("span", "soft when", when));
    const caption = element("figcaption", "", arm
      ? `Facing the gears, to one scale; distances in ${inch ? "inches" : "mm"}. Planes from the headstock outwards.`
      : "Gears to scale; shafts schematic: the arm is unmeasured, so fit is unchecked.");
    const told = element("div", "numbers", ...factsOf("Mount", mountOf(way, shown)), ...factsOf("Cut", cutOf(want, way, shown, exact)));
    const sheet = element("div", "train-sheet what-if", wayShown(shown), ruling,
      element("div", "train-body", element("figure", "", caption), told));
    sheet.dataset.steps = steps;
    sheet.dataset.key = keyOf(shown);
    sheet.dataset.place = placeOf(way, shown);
    sheet.dataset.end = shown.teeth.end;
    return sheet;
  };

  // What else these gears do, beside the train to set up, in a word or two each.
  const ablest = (ways, by) => ways.reduce((least, way) => (least && by(least) <= by(way) ? least : way), null);
  const besides = (want, step) => {
    const counts = gearsOf(step);
    const { way: shown, exact } = counts ? best(want, counts) : {};
    if (!shown) return [];
    const able = data.waysOf[want].filter(({ needs }) => needs.every(([kind, count]) => (counts[kind] ?? 0) >= count));
    const off = (way) => Math.abs(way.error);
    const share = (way) => teethOf(way).share ?? Infinity;
    const found = new Map();
    const add = (way, label) => {
      if (way && way !== shown) found.set(way, [...(found.get(way) ?? []), label]);
    };
    if (exact !== shown) add(exact, "without error");
    const nearest = ablest(able, off);
    if (!exact && nearest && off(nearest) < off(shown)) add(nearest, "least error");
    const lightest = ablest(able, share);
    if (lightest && share(lightest) < LIGHTER * share(shown)) add(lightest, "lighter on the teeth");
    const fewest = ablest(able, (way) => way.kinds.length);
    if (fewest && fewest.kinds.length < shown.kinds.length) add(fewest, "fewest gears");
    return [...found].map(([way, labels]) => ({ way, label: labels.join(", ") }));
  };

  const placeOfWant = (ident) => data.wants.findIndex(({ id }) => id === ident);
  const others = async (ident, step) => {
    await ready();
    const want = placeOfWant(ident);
    if (want < 0) return [];
    return besides(want, step).map(({ way, label }) => {
      const shown = details(way);
      return {
        key: keyOf(shown), mark: markOf(way.exact ? "exact" : "in tolerance"), label,
        error: error(way.error, way.exact, data.wants[want].allowed),
        teeth: teethWords(shown.teeth)[0], missing: missingOf(way) || "–",
      };
    });
  };

  // Puts the sheet of a train into its setup: of the gears ticked, or one chosen by its key.
  const bring = async (setup, step, key) => {
    await ready();
    for (const made of setup.querySelectorAll(".train-sheet.what-if")) made.remove();
    const want = placeOfWant(setup.id);
    if (want < 0) return;
    const before = setup.querySelector("[data-no-train]");
    if (key) {
      const found = besides(want, step).find(({ way }) => keyOf(details(way)) === key);
      if (found) before.before(sheetOf(data.wants[want], found.way, null, "", found.label));
    } else if (step === ownStep) {
      const counts = gearsOf(step);
      const { way, exact } = counts ? best(want, counts) : {};
      if (way) before.before(sheetOf(data.wants[want], way, exact, String(ownStep), "your ticks"));
    }
  };

  return { bring, others };
})();
