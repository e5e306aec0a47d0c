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

  const write = () => {
    const given = new URLSearchParams();
    if (state.step !== lastStep) given.set("step", state.step);
    for (const name of ["find", "show", "order", "gears"]) if (state[name]) given.set(name, state[name]);
    const text = given.toString();
    history.replaceState(null, "", `#${state.want}${text ? `~${text}` : ""}`);
  };

  // Whether an address is one of this page's, and not of a section of it.
  const ours = () => {
    const [want, rest] = inAddress().split("~");
    return rowOf.has(want) || rest !== undefined;
  };

  return { state, read, write, ours };
})();
