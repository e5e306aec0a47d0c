"use strict";
// What to buy while the answer is on its way: cards and map take in each step as it is found; the
// whole page comes once all are, with everything where it was left.
(() => {
  const { morph } = morphing;
  const body = document.body;
  const KEPT = "left-off";
  let known = body.dataset.version;
  let fetching = false;
  let again = false;

  // What is said of it, where it is heard

  const note = Object.assign(document.createElement("p"), { id: "coming", className: "note" });
  note.setAttribute("role", "status");
  const say = (words) => {
    if (!note.isConnected) document.getElementById("doors").after(note);
    if (note.textContent !== words) note.textContent = words;
  };
  // What was worked out for the files as they were answers nothing now.
  let inHand = null; // what had the focus where it could not stay
  const opened = () => [...document.querySelectorAll("details[open]")].map(pathTo);
  let open = []; // what was open: parts of cards go and come with them
  const stale = () => {
    if (body.dataset.whole === "true") open = opened();
    body.dataset.whole = "false";
    if (document.activeElement.closest("#what-if, #ticked, #setups")) inHand = document.activeElement;
    for (const id of ["what-if", "ticked", "setups"]) {
      const part = document.getElementById(id);
      if (part) part.inert = true;
    }
  };
  const notYet = "The setups follow as soon as all steps are known.";
  document.addEventListener("click", (event) => {
    if (body.dataset.whole === "true" || !event.target.closest("#map a, [data-try], [data-gears] a")) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    say(notYet);
  }, true);

  // Cards and map

  const rules = document.createElement("style");
  const stepOf = (row, step) => row.querySelector(`:scope > [data-step="${step}"]:not(.what-if-column)`);
  const ownCells = (row) => [...row.querySelectorAll(":scope > [data-step]:not(.what-if-column)")];
  const placed = (row, cell) => row.insertBefore(document.importNode(cell, true), row.querySelector(":scope > .what-if-column"));

  const takeCells = (row, made) => {
    const steps = new Set(ownCells(made).map(({ dataset }) => dataset.step));
    for (const cell of ownCells(row)) if (!steps.has(cell.dataset.step)) cell.remove();
    for (const cell of ownCells(made)) {
      const old = stepOf(row, cell.dataset.step);
      if (!old) {
        placed(row, cell);
        if (row.dataset.want) cells.lead(row);
      } else if (old.innerHTML !== cell.innerHTML || old.className !== cell.className) {
        const chosen = old.classList.contains("chosen");
        old.className = cell.className;
        old.classList.toggle("chosen", chosen);
        const [link, other] = [old, cell].map((one) => one.querySelector("a"));
        (link ?? old).innerHTML = (other ?? cell).innerHTML;
      }
      const now = stepOf(row, cell.dataset.step);
      if (row.dataset.want && now.querySelector("a")) map.name(now);
    }
  };

  const takeRow = (made) => {
    let row = cells.rowOf.get(made.dataset.want);
    if (!row) {
      row = document.importNode(made, true);
      for (const link of row.querySelectorAll("a")) link.tabIndex = -1;
      cells.rows.push(row);
      cells.rowOf.set(row.dataset.want, row);
    }
    row.querySelector("th small").textContent = made.querySelector("th small").textContent;
    row.classList.toggle("settled", made.classList.contains("settled"));
    row.classList.remove("later");
    takeCells(row, made);
    return row;
  };

  const takeMap = (made) => {
    const { table, rows, rowOf } = cells;
    const wanted = new Set([...made.querySelectorAll("tr[data-want]")].map(({ dataset }) => dataset.want));
    for (const row of rows.filter(({ dataset }) => !wanted.has(dataset.want))) {
      rows.splice(rows.indexOf(row), 1);
      rowOf.delete(row.dataset.want);
      row.remove();
    }
    takeCells(table.tHead.rows[0], made.tHead.rows[0]);
    const heads = [...table.tHead.querySelectorAll("[data-step]")];
    cells.columns.splice(0, cells.columns.length, ...new Set(heads.map(({ dataset }) => Number(dataset.step))));
    const { find, show, order } = place.state;
    const asTold = !(find || show || order);
    const series = (of) => [...of.tBodies].filter(({ dataset }) => !dataset.part);
    [...made.tBodies].forEach((part) => {
      const key = part.dataset.part;
      const at = key ? [...table.tBodies].find(({ dataset }) => dataset.part === key) : series(table)[series(made).indexOf(part)];
      const old = at ?? table.appendChild(document.importNode(part, false));
      const head = old.querySelector(".part") ?? old.appendChild(document.importNode(part.querySelector(".part"), true));
      morph(head.querySelector("th"), part.querySelector(".part th"));
      takeCells(head, part.querySelector(".part"));
      const own = [...part.querySelectorAll("tr[data-want]")].map(takeRow);
      if (asTold) {
        const there = [...old.querySelectorAll("tr[data-want]")];
        if (there.length !== own.length || there.some((row, i) => row !== own[i])) old.append(...own);
        old.hidden = part.hidden;
      } else for (const row of own) if (!row.isConnected) old.append(row);
    });
    if (!asTold) map.follow();
  };

  const takeCards = (made) => {
    const chosen = Number(document.querySelector("input[name=step]:checked")?.value ?? -1);
    const own = place.state.with !== cells.shownFirst;
    morph(document.getElementById("answer"), made.getElementById("answer"));
    const boxes = [...document.querySelectorAll("input[name=step]")];
    const box = (own && boxes.find(({ value }) => Number(value) === chosen)) || boxes.at(-1);
    if (box) box.checked = true;
  };

  // A page made where nothing was to choose shows no step; now there are some.
  const showSteps = () => {
    for (const sheet of document.styleSheets) {
      if (sheet.href) continue;
      [...sheet.cssRules].forEach((rule) => {
        if (rule.selectorText?.startsWith('#map [data-step]:not([data-step="0"]')) rule.style.removeProperty("display");
      });
    }
  };

  let latest = null; // news
  const judged = () => latest.judged === latest.version;
  const onItsWay = () => judged() && latest.state === "working" && latest.steps > 0;

  const follow = async () => {
    if (fetching) {
      again = true;
      return;
    }
    fetching = true;
    const live = await fetch("/live")
      .then((reply) => (reply.status === 200 ? reply.text() : null))
      .catch(() => null);
    if (live !== null && onItsWay()) {
      const made = new DOMParser().parseFromString(live, "text/html");
      if (body.dataset.whole === "false") {
        showSteps();
        rules.textContent = made.querySelector("style").textContent;
        document.head.append(rules);
        const had = document.activeElement;
        for (const part of ["h1", ".particulars"]) document.querySelector(`.nameplate ${part}`).textContent = made.querySelector(part).textContent;
        takeMap(made.getElementById("map"));
        takeCards(made);
        if (had?.isConnected && had !== document.activeElement) had.focus({ preventScroll: true });
        const count = made.querySelectorAll("input[name=step]").length;
        say(count > 1 ? `${count - 1} ${count > 2 ? "steps" : "step"} known, looking for more…` : "The lathe as it is; looking for steps…");
      }
    }
    fetching = false;
    if (again) {
      again = false;
      follow();
    }
  };

  // The whole page, at the place where this one is left

  const pathTo = (element) => {
    const steps = [];
    for (let node = element; node && node !== body; node = node.parentElement) {
      const { want, step } = node.dataset;
      if (node.id) return [`#${CSS.escape(node.id)}`, ...steps].join(" > ");
      if (want) return [`[data-want="${CSS.escape(want)}"]`, ...steps].join(" > ");
      const alike = [...node.parentElement.children].filter(({ tagName }) => tagName === node.tagName);
      steps.unshift(step === undefined ? `${node.tagName}:nth-of-type(${alike.indexOf(node) + 1})` : `[data-step="${step}"]`);
    }
    return steps.join(" > ");
  };
  const scrollers = () => [...document.querySelectorAll(".map-scroller, .so-far")];
  const renew = () => {
    const had = document.activeElement === body ? inHand ?? body : document.activeElement;
    const text = had.matches("input[type=search], input[type=text], textarea");
    sessionStorage.setItem(KEPT, JSON.stringify({
      top: scrollY,
      focus: had === body ? "" : pathTo(had),
      range: text ? [had.selectionStart, had.selectionEnd] : null,
      open: [...new Set([...open, ...opened()])],
      across: scrollers().map(({ scrollLeft }) => scrollLeft),
      every: Boolean(document.getElementById("all-steps")?.checked),
    }));
    location.reload();
  };
  const restore = () => {
    const left = JSON.parse(sessionStorage.getItem(KEPT) ?? "null");
    sessionStorage.removeItem(KEPT);
    if (!left) return;
    const find = (path) => (path ? document.querySelector(path) : null);
    for (const path of left.open) {
      const details = find(path);
      if (details?.matches("details")) details.open = true;
    }
    const every = document.getElementById("all-steps");
    if (every && left.every) every.checked = true;
    const focus = find(left.focus);
    focus?.focus({ preventScroll: true });
    if (left.range && focus?.setSelectionRange) focus.setSelectionRange(...left.range);
    scrollers().forEach((one, i) => { one.scrollLeft = left.across[i] ?? 0; });
    const back = () => scrollTo(0, left.top);
    back();
    requestAnimationFrame(back); // once what lies below has been laid out
  };

  // Text that is marked is not taken from under a hand.
  const askFirst = () => {
    say("The whole answer is there.");
    const button = Object.assign(document.createElement("button"), { type: "button", textContent: "Show it" });
    button.addEventListener("click", renew);
    note.append(" ", button);
  };

  // Undo and redo without leaving the page: the news tells what came of it.
  document.addEventListener("submit", (event) => {
    if (!event.target.matches(".taking-back")) return;
    event.preventDefault();
    const data = new URLSearchParams(new FormData(event.target, event.submitter));
    fetch("/edit", { method: "POST", body: data, redirect: "manual" }).catch(() => say("The program does not answer at the moment."));
  });

  document.addEventListener("news", ({ detail: news }) => {
    const current = String(news.version) === body.dataset.version && body.dataset.whole === "true";
    if (current && known === body.dataset.version) return;
    known = String(news.version);
    latest = news;
    stale();
    if (onItsWay()) follow();
    else if (!judged() || news.state === "working") say("looking… What stands below is of the files before.");
    else if (news.state !== "done") say("No answer to the files as they are now: what stands here is of those before.");
    else if (getSelection().isCollapsed) renew();
    else askFirst();
  });
  addEventListener("load", () => setTimeout(restore));
})();
