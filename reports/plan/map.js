"use strict";
// The map: arrow keys, filter and order, and the setup of the thread that is open.
// Where you are lives in the address: #w-m6~step=2&find=m&show=left&order=pitch&gears=20.30.40
(() => {
  const { setupOf, bringSheets } = setupStore;
  const table = document.getElementById("map");
  const find = document.getElementById("map-find");
  const show = document.getElementById("map-show");
  const order = document.getElementById("map-order");
  const count = document.getElementById("map-count");
  const reading = document.getElementById("map-reading");
  const rows = [...table.querySelectorAll("tr[data-want]")];
  const groups = [...table.tBodies];
  const rowOf = new Map(rows.map((row) => [row.dataset.want, row]));
  const listed = new Map(rows.map((row, i) => [row, i]));
  // Columns go by the number of their step; the one for gears ticked stands behind all steps.
  const stepsOf = (selector) => [...table.tHead.querySelectorAll(selector)].map((head) => Number(head.dataset.step));
  const columns = stepsOf("[data-step]");
  const lastStep = Math.max(...stepsOf("[data-step]:not(.what-if-column)"));
  const together = table.closest(".pair") !== null; // all of a thread's trains stay open
  const state = { want: "", step: lastStep, find: "", show: "", order: "", gears: "" };

  // Reading the table

  const cellOf = (row, step) => row.querySelector(`[data-step="${step}"]`);
  const nameOf = (row) => row.querySelector("th a").textContent;
  const rank = (row, step) => constants.verdicts.findIndex(({ slug }) => cellOf(row, step).classList.contains(slug));
  const covered = (row, step) => Boolean(constants.verdicts[rank(row, step)]?.covered);

  // The address

  const inAddress = () => {
    try {
      return decodeURIComponent(location.hash.slice(1));
    } catch {
      return ""; // a link that was cut short
    }
  };

  const read = () => {
    const [want, rest = ""] = inAddress().split("~");
    const given = new URLSearchParams(rest);
    state.want = rowOf.has(want) ? want : "";
    const step = Number(given.get("step") ?? lastStep);
    state.step = columns.includes(step) ? step : lastStep;
    for (const name of ["find", "show", "order", "gears"]) state[name] = given.get(name) ?? "";
  };

  const write = () => {
    const given = new URLSearchParams();
    if (state.step !== lastStep) given.set("step", state.step);
    for (const name of ["find", "show", "order", "gears"]) if (state[name]) given.set(name, state[name]);
    const text = given.toString();
    history.replaceState(null, "", `#${state.want}${text ? `~${text}` : ""}`);
  };

  // Filter and order

  const keeps = {
    "": () => true,
    left: (row) => !covered(row, lastStep),
    gained: (row) => covered(row, lastStep) && !covered(row, 0),
    now: (row) => covered(row, 0),
    first: (row) => covered(row, 0) && !covered(row, 1),
    second: (row) => covered(row, 1) && !covered(row, 0),
    both: (row) => covered(row, 0) && covered(row, 1),
    neither: (row) => !covered(row, 0) && !covered(row, 1),
  };
  const orders = {
    "": (a, b) => listed.get(a) - listed.get(b),
    left: (a, b) => rank(b, lastStep) - rank(a, lastStep) || orders[""](a, b),
    pitch: (a, b) => b.dataset.pitch - a.dataset.pitch || orders[""](a, b),
  };

  // The page comes in the order of the series with every thread shown.
  let asItCame = true;
  const arrange = () => {
    asItCame &&= !(state.find || state.show || state.order);
    if (!asItCame) rearrange();
    const shown = rows.filter((row) => !row.hidden).length;
    count.textContent = shown ? `${shown} of ${rows.length} threads shown` : "No thread is like that.";
    count.classList.toggle("unseen", shown === rows.length);
    settleTabStop();
  };

  const rearrange = () => {
    const keep = keeps[state.show] ?? keeps[""];
    const compare = orders[state.order] ?? orders[""];
    // Spaces do not count: pages set narrow ones, and people leave them out.
    const bare = (text) => text.replace(/\s+/g, "").toLowerCase();
    const sought = bare(state.find);
    for (const row of rows) row.hidden = !(bare(row.querySelector("th").textContent).includes(sought) && keep(row));
    for (const group of groups) {
      const members = [...group.querySelectorAll("tr[data-want]")].sort(compare);
      group.append(...members);
      group.hidden = members.every((row) => row.hidden);
    }
    const first = (group) => [...group.querySelectorAll("tr[data-want]")].find((row) => !row.hidden);
    const standing = groups.filter((group) => !group.hidden);
    standing.sort((a, b) => compare(first(a), first(b)));
    table.append(...standing, ...groups.filter((group) => group.hidden));
  };

  // One tab stop, arrow keys within

  const links = (row) => [...row.querySelectorAll("a")].filter((link) => link.offsetParent);
  const visible = () => [...table.querySelectorAll("tr[data-want]")].filter((row) => !row.hidden && !row.parentNode.hidden);
  let stop = null;

  const giveStop = (link) => {
    if (stop) stop.tabIndex = -1;
    stop = link;
    if (stop) stop.tabIndex = 0;
  };

  const settleTabStop = () => {
    const shown = visible();
    if (stop && shown.includes(stop.closest("tr"))) return;
    giveStop(shown.length ? links(shown[0])[0] : null);
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

  // The setup that is open

  const preview = (link) => {
    const cell = link.closest("td, th");
    const row = link.closest("tr");
    const { step } = cell.dataset;
    const told = (one) => one.textContent.replace(/\s+/g, " ").trim();
    if (step === undefined) return told(cell);
    const gears = trainTitle(row.dataset.want, step);
    return `${nameOf(row)}, step ${step}: ${told(link)}${gears ? `, ${gears}` : ""}`;
  };

  const sheets = (setup) => [...setup.querySelectorAll(".train-sheet[data-steps]")];
  const holds = ({ dataset }, step) => dataset.steps.split(" ").includes(String(step));
  const inTable = (setup, part) => [...setup.querySelectorAll(`.trains ${part}[data-steps]`)];
  const trainTitle = (want, step) => {
    const setup = setupOf(want);
    const cell = inTable(setup, "td").find((one) => holds(one, step));
    if (cell) return cell.textContent;
    const sheet = sheets(setup).find((one) => holds(one, step));
    return sheet ? sheet.querySelector(".gears").textContent : "";
  };

  // The sheet of the step that is open; what stands in its place where there is none.
  const showSheet = (setup) => {
    let found = false;
    for (const sheet of sheets(setup)) {
      const here = holds(sheet, state.step) || together;
      sheet.toggleAttribute("data-away", !here);
      found ||= here;
    }
    for (const head of inTable(setup, "th")) head.classList.toggle("chosen", holds(head, state.step));
    return found;
  };

  const tell = (setup, text) => {
    const place = setup.querySelector("[data-no-train]");
    place.textContent = text;
    place.hidden = text === "";
  };

  const showTrain = async (setup) => {
    tell(setup, "");
    if (showSheet(setup)) return;
    if (!trainTitle(setup.id, state.step)) {
      if (state.step > lastStep) tell(setup, "No train for the gears ticked is among those that cover this thread.");
      else tell(setup, sheets(setup).length ? "At this step no train of these gears comes within five per cent." : "");
      return;
    }
    try {
      await bringSheets(setup);
      showSheet(setup);
    } catch {
      tell(setup, "This browser is too old to unpack the drawing of this step; the table has its figures.");
    }
  };

  // The verdicts of the steps, moved to the setup that is open.
  const strip = document.querySelector(".strip");
  const moveStrip = (setup, row) => {
    if (!strip) return;
    for (const mark of strip.children) {
      const { slug, word } = constants.verdicts[rank(row, mark.dataset.step)];
      mark.className = Number(mark.dataset.step) === state.step ? `${slug} chosen` : slug;
      mark.textContent = word;
    }
    if (!setup.contains(strip)) setup.querySelector("header").after(strip);
  };

  const open = ({ reveal }) => {
    for (const chosen of table.querySelectorAll(".chosen")) chosen.classList.remove("chosen");
    const want = state.want || visible()[0]?.dataset.want;
    const setup = want && setupOf(want);
    for (const other of document.querySelectorAll(".setup.open")) if (other !== setup) other.classList.remove("open");
    if (!setup) return;
    document.dispatchEvent(new CustomEvent("setup-fill", { detail: { want, step: state.step } }));
    setup.classList.add("open");
    const row = rowOf.get(want);
    row.classList.add("chosen");
    cellOf(row, state.step).classList.add("chosen");
    moveStrip(setup, row);
    showTrain(setup);
    if (reveal) {
      setup.parentNode.scrollTop = 0;
      const box = setup.getBoundingClientRect();
      if (box.top > innerHeight * 0.6 || box.bottom < 80) setup.scrollIntoView({ block: "start" });
      setup.focus({ preventScroll: true });
    }
  };

  const choose = (want, step, how) => {
    state.want = want;
    state.step = step;
    write();
    open(how);
  };

  table.addEventListener("click", (event) => {
    const link = event.target.closest("td, tr[data-want] th")?.querySelector("a");
    if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    giveStop(link);
    const { step = lastStep } = link.closest("td, th").dataset;
    choose(link.closest("tr").dataset.want, Number(step), { reveal: true });
  });
  table.addEventListener("keydown", move);
  table.addEventListener("focusin", (event) => {
    const link = event.target.closest("a");
    if (link) reading.textContent = preview(link);
  });
  table.addEventListener("mouseover", (event) => {
    const link = event.target.closest("td a, th a");
    if (link) reading.textContent = preview(link);
  });
  document.getElementById("setups").addEventListener("click", (event) => {
    const mark = event.target.closest(".strip li");
    if (mark) choose(mark.closest(".setup").id, Number(mark.dataset.step), { reveal: false });
  });

  for (const [control, name] of [[find, "find"], [show, "show"], [order, "order"]]) {
    control.addEventListener("input", () => {
      state[name] = control.value;
      arrange();
      write();
    });
  }

  const follow = ({ reveal }) => {
    read();
    find.value = state.find;
    show.value = state.show;
    order.value = state.order;
    arrange();
    open({ reveal: reveal && state.want !== "" });
  };
  addEventListener("hashchange", () => {
    const [want, rest] = inAddress().split("~");
    if (rowOf.has(want) || rest !== undefined) follow({ reveal: true });
  });
  // Links within the page scroll and leave the address alone, which holds what was chosen.
  document.addEventListener("click", (event) => {
    const link = event.target.closest('a[href^="#"]');
    if (!link || table.contains(link) || event.ctrlKey || event.metaKey || event.shiftKey) return;
    const place = document.getElementById(link.getAttribute("href").slice(1));
    if (!place || rowOf.has(place.id)) return;
    event.preventDefault();
    place.scrollIntoView({ block: "start" });
    place.tabIndex = -1;
    place.focus({ preventScroll: true });
  });
  document.addEventListener("what-if", (event) => {
    if (event.detail.byHand) {
      state.step = Math.max(...columns);
      state.gears = event.detail.gears;
      write();
    }
    open({ reveal: false });
  });
  for (const link of table.querySelectorAll("a")) link.tabIndex = -1;
  follow({ reveal: true });
})();
