"use strict";
// Long work a slice at a time, so that the page answers in between.
const slices = (() => {
  const SLICE = 16; // milliseconds
  const pause = () => new Promise((done) => setTimeout(done));

  // Does `work` for each of a list; false where it was given up because it is no longer wanted.
  const each = async (list, work, wanted = () => true) => {
    let end = performance.now() + SLICE;
    for (const one of list) {
      if (performance.now() > end) {
        await pause();
        if (!wanted()) return false;
        end = performance.now() + SLICE;
      }
      work(one);
    }
    return true;
  };

  const painted = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
  return { each, painted, pause };
})();
