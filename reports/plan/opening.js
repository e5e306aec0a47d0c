"use strict";
// The thread that is open: it takes the place of the map, and each opening is an entry of the
// history. Back goes back; Escape and the button return to the cell that was followed.
(() => {
  const { setupOf, there, bringPanels, bringSheets } = setupStore;
  const { table, rowOf, columns, lastStep, cellOf, nameOf, visible } = cells;
  const { state } = place;
  const root = document.documentElement;
  const tools = document.getElementById("thread-tools");
  const together = table.closest(".pair") !== null; // all of a thread's trains stay open

  const sheets = (setup) => [...setup.querySelectorAll(".train-sheet[data-steps]")];
  const holds = ({ dataset }, step) => dataset.steps.split(" ").includes(String(step));
  // The sheet of the train that is open: of the step, or one chosen beside it.
  const sought = (sheet) => (state.train ? choices.keyOf(sheet) === state.train : holds(sheet, state.step));
  const showSheet = (setup) => {
    const here = sheets(setup).filter(sought);
    for (const sheet of sheets(setup)) sheet.toggleAttribute("data-away", !together && !here.includes(sheet));
    drawn.show(setup);
    const key = here.length ? choices.keyOf(here[0]) : "";
    if (!together) {
      choices.mark(setup, key);
      ownSheet.show(setup, key);
    }
    if (here.length === 1 && !together) whole.bring(setup, here[0]);
    return here.length > 0;
  };

  const tell = (setup, text) => {
    const line = setup.querySelector("[data-no-train]");
    line.textContent = text;
    line.hidden = text === "";
  };

  const gears = () => (typeof whatIfSheets === "undefined" ? null : whatIfSheets);
  const showTrain = async (setup) => {
    tell(setup, "");
    const { want, step, train } = state;
    const still = () => state.want === want && state.step === step && state.train === train;
    if (step > lastStep) for (const made of setup.querySelectorAll(".train-sheet.what-if")) made.remove();
    const found = showSheet(setup);
    if (!together) gears()?.others(want, step).then((others) => {
      if (!still()) return;
      choices.more(setup, others);
      showSheet(setup);
    }, () => {}); // too old a browser is told of where gears are ticked
    if (found) return;
    try {
      await bringSheets(setup);
      await gears()?.bring(setup, step, train);
    } catch {
      tell(setup, "This browser is too old to unpack what is drawn here; its figures stand on this sheet.");
      return;
    }
    if (!still() || showSheet(setup)) return;
    if (train) {
      state.train = ""; // of a link from another report
      showTrain(setup);
    } else if (step > lastStep) tell(setup, "No train for the gears ticked is among those that cover this thread.");
    else tell(setup, sheets(setup).length ? "At this step no train of these gears is known to come within five per cent." : "");
  };

  // The threads before and after, as the map stands.
  const neighbours = () => {
    const wants = visible().map((row) => row.dataset.want);
    const at = wants.indexOf(state.want);
    return { previous: wants[at - 1], next: at < 0 ? undefined : wants[at + 1] };
  };
  const showNeighbours = () => {
    for (const [way, want] of Object.entries(neighbours())) {
      const button = tools.querySelector(`[data-go="${way}"]`);
      button.disabled = !want;
      button.lastElementChild.textContent = want ? nameOf(rowOf.get(want)) : "";
    }
  };

  // Brings the page to what `state` says.
  let opened = ""; // the thread that shows
  const show = () => {
    for (const chosen of table.querySelectorAll(".chosen")) chosen.classList.remove("chosen");
    for (const link of table.querySelectorAll("[aria-current]")) link.removeAttribute("aria-current");
    const { want } = state;
    if (want && !there(want)) {
      bringPanels().then(show);
      return;
    }
    const setup = want && setupOf(want);
    for (const other of document.querySelectorAll(".setup.open")) if (other !== setup) other.classList.remove("open");
    root.classList.toggle("thread-open", Boolean(setup));
    if (!setup) {
      if (opened) leave(opened);
      opened = "";
      return;
    }
    setup.classList.add("open");
    const row = rowOf.get(want);
    row.classList.add("chosen");
    const cell = cellOf(row, state.step);
    cell.classList.add("chosen");
    cell.querySelector("a").setAttribute("aria-current", "true");
    showNeighbours();
    showTrain(setup);
    if (opened === want) return;
    opened = want;
    scrollTo(0, 0);
    setup.focus({ preventScroll: true });
  };

  // Back to where the map was left, the cell in hand and on the screen.
  const leave = (want) => {
    map.reveal(want);
    const row = rowOf.get(want);
    const link = [cellOf(row, state.step), row].map((part) => part?.querySelector("a")).find((one) => one?.offsetParent);
    if (history.state?.top !== undefined) scrollTo(0, history.state.top);
    const { top, bottom } = row.getBoundingClientRect();
    if (top < HEAD || bottom > innerHeight) row.scrollIntoView({ block: "center" });
    if (!link) return;
    map.giveStop(link);
    link.focus({ preventScroll: true });
  };

  const HEAD = 40; // pixels at the top that the map's head covers
  const deep = () => history.state?.deep ?? 0;
  let moves = 0; // of threads opened, and of the history
  const choose = (want, step) => {
    if (want === state.want && step === state.step && !state.train) return;
    moves += 1;
    if (!state.want) {
      history.scrollRestoration = "manual";
      history.replaceState({ ...history.state, top: scrollY }, "");
    }
    state.want = want;
    state.step = step;
    state.train = "";
    place.write({ deep: deep() + 1 });
    show();
  };
  const closeHere = () => {
    if (!state.want) return;
    state.want = "";
    state.train = "";
    place.write({ deep: 0 });
    show();
  };
  // A browser forgets what lies fifty entries back, and then goes nowhere.
  const PATIENCE = 250;
  const close = () => {
    if (!deep()) {
      closeHere();
      return;
    }
    const before = moves;
    history.go(-deep());
    setTimeout(() => {
      if (moves === before) closeHere();
    }, PATIENCE);
  };

  table.addEventListener("click", (event) => {
    const link = event.target.closest("td, tr[data-want] th")?.querySelector("a");
    if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    map.giveStop(link);
    const { step = state.with } = link.closest("td, th").dataset;
    choose(link.closest("tr").dataset.want, Number(step));
  });
  document.getElementById("setups").addEventListener("click", (event) => {
    const taken = state.want && choices.pressed(event.target, state.step);
    if (!taken) return;
    Object.assign(state, taken);
    place.write();
    show();
  });

  const copied = (button, text) => {
    button.textContent = text;
    setTimeout(() => { button.textContent = "Copy link"; }, 2000);
  };
  tools.addEventListener("click", (event) => {
    const button = event.target.closest("button");
    const go = button?.dataset.go;
    if (go === "map") close();
    else if (go === "link") {
      const done = navigator.clipboard?.writeText(location.href) ?? Promise.reject();
      done.then(() => copied(button, "Copied"), () => copied(button, "It is in the address line"));
    } else if (go) choose(neighbours()[go], state.step);
  });
  addEventListener("keydown", (event) => {
    if (event.key === "Escape" && state.want && !event.defaultPrevented) close();
  });
  // The sheet that is open is what a reader of it prints.
  addEventListener("beforeprint", () => {
    if (state.want) root.dataset.print ??= "thread";
  });

  const follow = () => {
    place.read();
    map.follow();
    show();
  };
  addEventListener("popstate", () => {
    moves += 1;
    if (place.ours() || state.want) follow();
  });
  // A gear leads to the threads whose trains use it: of a step by its number, or of gears that
  // are ticked for it.
  const showGear = async (teeth, of) => {
    const places = /^t\d/.test(of) ? of.slice(1).split(" ").map(Number) : null;
    if (places) await whatIf.add(places);
    map.findGear(teeth, /^\d/.test(of) ? Number(of) : undefined);
  };
  // What lies above is laid out as it comes near, which moves the place that was meant.
  const land = (target, more = 3) => {
    target.scrollIntoView({ block: "start" });
    if (more) requestAnimationFrame(() => land(target, more - 1));
  };
  // Links to threads open them. Others scroll and leave the address alone, which holds what was
  // chosen.
  document.addEventListener("click", (event) => {
    const link = event.target.closest('a[href^="#"]');
    if (!link || table.contains(link) || event.ctrlKey || event.metaKey || event.shiftKey) return;
    const set = link.closest("[data-gears]");
    if (set) {
      event.preventDefault();
      showGear(link.textContent.split(" ")[0], set.dataset.gears);
      return;
    }
    const ident = link.getAttribute("href").slice(1);
    const target = document.getElementById(ident);
    if (!target && !rowOf.has(ident)) return;
    event.preventDefault();
    if (rowOf.has(ident)) {
      choose(ident, state.step);
      return;
    }
    land(target);
    target.tabIndex = -1;
    target.focus({ preventScroll: true });
  });
  document.addEventListener("what-if", (event) => {
    if (event.detail.byHand) {
      state.step = event.detail.gears ? Math.max(...columns) : state.with;
      state.gears = event.detail.gears;
      place.write();
    }
    show();
  });
  follow();
  // A browser scrolls to the thread an address names, past what stands above it.
  addEventListener("load", () => setTimeout(() => {
    if (opened) scrollTo(0, 0);
  }));
})();
