"use strict";
// Where you are lives in the address: #w-m6~step=2&find=m&show=left&order=pitch&gears=20.30.40
const place = (() => {
  const { rowOf, columns, lastStep } = cells;
  const state = { want: "", step: lastStep, find: "", show: "", order: "", gears: "" };

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

  // `entry`: what a new entry of the history is to hold; without one the present entry is changed.
  const write = (entry) => {
    const given = new URLSearchParams();
    if (state.step !== lastStep) given.set("step", state.step);
    for (const name of ["find", "show", "order", "gears"]) if (state[name]) given.set(name, state[name]);
    const text = given.toString();
    const address = `#${state.want}${text ? `~${text}` : ""}`;
    if (entry) history.pushState(entry, "", address);
    else history.replaceState(history.state, "", address);
  };

  // Whether an address is one of this page's, and not of a section of it.
  const ours = () => {
    const [want, rest] = inAddress().split("~");
    return rowOf.has(want) || rest !== undefined;
  };

  return { state, read, write, ours };
})();
