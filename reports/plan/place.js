"use strict";
// Where you are lives in the address: #w-m6~step=0&with=2&find=m&show=left&order=pitch&gears=20.30.40
// `with` is the step shown beside "now", `step` that of the train that is open, `train` one that was
// chosen beside it.
const place = (() => {
  const { rowOf, columns, lastStep, shownFirst } = cells;
  const state = { want: "", step: shownFirst, with: shownFirst, train: "", find: "", show: "", order: "", gears: "" };

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
    const number = (name, usual) => {
      const step = Number(given.get(name) ?? usual);
      return columns.includes(step) ? step : usual;
    };
    state.step = number("step", number("with", shownFirst));
    // A step that is not on the map is brought there.
    state.with = number("with", state.step && state.step <= lastStep ? state.step : shownFirst);
    for (const name of ["train", "find", "show", "order", "gears"]) state[name] = given.get(name) ?? "";
  };

  // `entry`: what a new entry of the history is to hold; without one the present entry is changed.
  const write = (entry) => {
    const given = new URLSearchParams();
    if (state.with !== shownFirst) given.set("with", state.with);
    if (state.step !== state.with) given.set("step", state.step);
    for (const name of ["train", "find", "show", "order", "gears"]) if (state[name]) given.set(name, state[name]);
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
