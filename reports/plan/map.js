"use strict";
// The map: filter, order, and arrow keys.
const map = (() => {
  const { table, rows, lastStep, rank, covered, visible } = cells;
  const { state, write } = place;
  const find = document.getElementById("map-find");
  const show = document.getElementById("map-show");
  const order = document.getElementById("map-order");
  const count = document.getElementById("map-count");
  const groups = [...table.tBodies];
  const listed = new Map(rows.map((row, i) => [row, i]));

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

  table.addEventListener("keydown", move);
  for (const link of table.querySelectorAll("a")) link.tabIndex = -1;
  for (const [control, name] of [[find, "find"], [show, "show"], [order, "order"]]) {
    control.addEventListener("input", () => {
      state[name] = control.value;
      arrange();
      write();
    });
  }

  // The controls and the rows as the address has them.
  const follow = () => {
    find.value = state.find;
    show.value = state.show;
    order.value = state.order;
    arrange();
  };

  return { follow, giveStop };
})();
