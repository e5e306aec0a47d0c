"use strict";
// The map: the step that is shown, filter, order, parts that fold, and arrow keys.
const map = (() => {
  const { table, rows, rowOf, columns, shownFirst, covered, exact, overloaded, trainOf, headOf, nameOf, visible } = cells;
  const { state, write } = place;
  const find = document.getElementById("map-find");
  const show = document.getElementById("map-show");
  const order = document.getElementById("map-order");
  const count = document.getElementById("map-count");
  const steps = [...document.querySelectorAll("input[name=step]")];
  const parts = [...table.tBodies];
  const partOf = Object.fromEntries(parts.filter(({ dataset }) => dataset.part).map((part) => [part.dataset.part, part]));
  const series = parts.filter(({ dataset }) => !dataset.part);
  // The wants' own order.
  const listed = new Map(rows.map((row) => [row, Number(row.dataset.listed)]));

  // Filter and order

  const keeps = {
    "": () => true,
    left: (row) => !covered(row, state.with),
    gained: (row) => covered(row, state.with) && !covered(row, 0),
    now: (row) => covered(row, 0),
    first: (row) => covered(row, 0) && !covered(row, 1),
    second: (row) => covered(row, 1) && !covered(row, 0),
    both: (row) => covered(row, 0) && covered(row, 1),
    neither: (row) => !covered(row, 0) && !covered(row, 1),
  };
  const byList = (a, b) => listed.get(a) - listed.get(b);
  const byPitch = (a, b) => b.dataset.pitch - a.dataset.pitch || byList(a, b);

  // Under which heading a row stands, and whether it is folded away there.
  const homeOf = (row) => {
    const key = state.order ? undefined : Object.keys(partOf).find((one) => keeps[one](row));
    return partOf[key] ?? series[row.dataset.series ?? 0];
  };
  const well = (row, step) => exact(row, step) && !overloaded(row, step);
  const settled = (row) => Boolean(partOf.gained) && well(row, 0) && well(row, state.with);

  // Spaces do not count: pages set narrow ones, and people leave them out.
  const bare = (text) => text.replace(/\s+/g, "").replaceAll("×", "x").toLowerCase();
  const shownSteps = () => columns.filter((step) => table.tHead.querySelector(`[data-step="${step}"]`).offsetParent);
  // A name or a pitch, a train or a part of one; bare figures are also gears of the trains shown.
  const finds = (sought) => {
    const words = sought.split(/[,+]/).map(bare).filter(Boolean);
    const among = shownSteps();
    return (row) => {
      const head = bare(row.querySelector("th").textContent);
      const trains = among.map((step) => trainOf(row, step));
      const inTrain = (word) => /^\d+$/.test(word)
        ? (train) => train.split(/\D+/).includes(word)
        : (train) => bare(train).includes(word);
      const inHead = (word) => /^\d+$/.test(word)
        ? new RegExp(`(?<![\\d.])${word}(?![\\d.])`).test(head)
        : head.includes(word);
      return words.every((word) => inHead(word) || trains.some(inTrain(word)));
    };
  };

  // The page comes in the order of the step advised with every thread shown.
  let asItCame = true;
  const arrange = () => {
    asItCame &&= !(state.find || state.show || state.order) && state.with === shownFirst;
    if (!asItCame) rearrange();
    const shown = rows.filter((row) => !row.hidden).length;
    const whole = shown === rows.length;
    count.firstElementChild.textContent = shown ? `${shown} of ${rows.length} threads shown.` : nothing();
    count.classList.toggle("unseen", whole);
    count.lastElementChild.hidden = whole;
    settleTabStop();
  };

  const nothing = () => {
    if (state.find) return "No thread, gear or train is like that.";
    if (state.show === "left") return `All ${rows.length} are covered.`;
    return state.show === "gained" ? "These gears bring no further thread." : "No thread is like that.";
  };

  const rearrange = () => {
    const keep = keeps[state.show] ?? keeps[""];
    const found = finds(state.find);
    const compare = state.order === "pitch" ? byPitch : byList;
    for (const row of rows) {
      row.hidden = !(found(row) && keep(row));
      row.classList.toggle("settled", settled(row));
    }
    const home = new Map(parts.map((part) => [part, []]));
    for (const row of [...rows].sort(compare)) home.get(homeOf(row)).push(row);
    for (const [part, members] of home) {
      part.append(...members);
      const there = members.filter((row) => !row.hidden);
      part.hidden = !there.length;
      tellPart(part, there);
    }
    if (state.order === "pitch") {
      const first = (part) => home.get(part).find((row) => !row.hidden);
      const standing = parts.filter((part) => !part.hidden);
      table.append(...standing.sort((a, b) => compare(first(a), first(b))));
    } else table.append(...parts);
  };

  // Parts fold: what is found is never folded away.
  const tellPart = (part, there) => {
    const number = part.querySelector(".part-count");
    if (number.textContent) number.textContent = there.length;
    const fold = part.querySelector(".fold");
    const count = there.filter((row) => row.classList.contains("settled")).length;
    fold.hidden = !count || Boolean(state.find || state.show);
    fold.firstChild.data = `${count} exact today`;
    if (state.find || state.show) part.dataset.open = "found";
    else if (part.dataset.open === "found") delete part.dataset.open;
    fold.setAttribute("aria-expanded", part.hasAttribute("data-open"));
  };
  const unfold = (part, open) => {
    if (open) part.dataset.open = "";
    else delete part.dataset.open;
    part.querySelector(".fold").setAttribute("aria-expanded", open);
  };
  table.addEventListener("click", ({ target }) => {
    if (!target.matches(".fold")) return;
    const part = target.closest("tbody");
    unfold(part, !part.hasAttribute("data-open"));
    settleTabStop();
  });
  // A row that somebody follows a link to must be there to return to.
  const reveal = (want) => {
    const row = rowOf.get(want);
    if (row?.hidden) clear();
    if (row?.classList.contains("settled")) unfold(row.parentNode, true);
  };

  // One tab stop, arrow keys within

  const links = (row) => [...row.querySelectorAll("a")].filter((link) => link.offsetParent);
  let stop = null;

  const giveStop = (link) => {
    if (stop) stop.tabIndex = -1;
    stop = link;
    if (stop) stop.tabIndex = 0;
  };

  const settleTabStop = () => {
    const shown = visible();
    if (stop && shown.includes(stop.closest("tr"))) return;
    giveStop(shown.length ? shown[0].querySelector("a") : null); // a row's first shows wherever it does
  };

  const move = (event) => {
    const link = event.target.closest("a");
    if (!link || event.altKey || event.ctrlKey || event.metaKey) return;
    const shown = visible();
    const row = link.closest("tr");
    const y = shown.indexOf(row);
    const x = links(row).indexOf(link);
    const end = links(row).length - 1;
    const to = {
      ArrowRight: [y, x + 1],
      ArrowLeft: [y, x - 1],
      ArrowDown: [y + 1, x],
      ArrowUp: [y - 1, x],
      Home: event.ctrlKey ? [0, 0] : [y, 0],
      End: [y, end],
      PageDown: [Math.min(y + 10, shown.length - 1), x],
      PageUp: [Math.max(y - 10, 0), x],
    }[event.key];
    if (!to) return;
    event.preventDefault();
    const target = shown[to[0]] && links(shown[to[0]])[to[1]];
    if (!target) return;
    giveStop(target);
    target.focus();
  };

  // A cell's name says its thread and its column.
  const name = (cell) => {
    const link = cell.querySelector("a");
    const said = link.textContent.replace(/\s+/g, " ").trim();
    link.ariaLabel = `${nameOf(cell.parentNode)}, ${headOf(cell.dataset.step)}: ${said}`;
  };
  const nameAll = () => slices.each([...table.querySelectorAll("tr[data-want] td")], name);

  table.addEventListener("keydown", move);
  for (const link of table.querySelectorAll("a")) link.tabIndex = -1;
  for (const [control, key] of [[find, "find"], [show, "show"], [order, "order"]]) {
    control.addEventListener("input", () => {
      state[key] = control.value;
      arrange();
      write();
    });
  }
  const clear = () => {
    Object.assign(state, { find: "", show: "" });
    follow();
    write();
  };
  count.lastElementChild.addEventListener("click", () => {
    clear();
    find.focus();
  });
  for (const box of steps) {
    box.addEventListener("change", () => {
      state.with = Number(box.value);
      state.step = state.with;
      arrange();
      write();
    });
  }

  // The controls and the rows as the address has them.
  const follow = () => {
    find.value = state.find;
    show.value = state.show;
    order.value = state.order;
    for (const box of steps) box.checked = Number(box.value) === state.with;
    arrange();
  };

  // Only the threads whose trains have a gear, at a step where one is given.
  const findGear = (teeth, step) => {
    if (step !== undefined) Object.assign(state, { with: step, step });
    Object.assign(state, { find: teeth, show: "" });
    follow();
    write();
    find.focus({ preventScroll: true });
    find.closest("section").scrollIntoView({ block: "start" });
  };

  requestAnimationFrame(() => setTimeout(nameAll, 50));
  return { follow, giveStop, reveal, findGear, name };
})();
