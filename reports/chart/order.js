"use strict";
// In which order given setups follow one another with the fewest gears put on: what
// optimizer/chart/order.py says, for the page. A setup is a Map from place to gear.
const chartOrder = (() => {
  const MOST = 12; // beyond it they stay as they are numbered
  const putOn = (before, after) => [...after].filter(([place, gear]) => before.get(place) !== gear).length;

  // The setups' numbers in order, and the gears put on; `usual` is null where none is named.
  const best = (setups, usual) => {
    const none = new Map();
    const first = setups.map((one) => putOn(usual ?? none, one));
    const last = setups.map((one) => (usual ? putOn(one, usual) : 0));
    const between = setups.map((one) => setups.map((other) => putOn(one, other)));
    const count = setups.length;
    const along = (order) => order.reduce(
      (sum, k, at) => sum + (at ? between[order[at - 1]][k] : first[k]), last[order.at(-1)] ?? 0);
    const listed = setups.map((_, k) => k);
    if (count > MOST || count < 2) return {order: listed, changes: along(listed)};
    // By setups hung and the one that hangs now: what is left to put on.
    const every = (1 << count) - 1;
    const left = Array.from({length: every + 1}, () => new Array(count).fill(Infinity));
    left[every] = last;
    for (let hung = every - 1; hung > 0; hung--) {
      for (let now = 0; now < count; now++) {
        if (!(hung >> now & 1)) continue;
        for (let next = 0; next < count; next++) {
          if (hung >> next & 1) continue;
          left[hung][now] = Math.min(left[hung][now], between[now][next] + left[hung | 1 << next][next]);
        }
      }
    }
    const order = [];
    let hung = 0, steps = first;
    while (hung !== every) {
      const cost = (k) => steps[k] + left[hung | 1 << k][k];
      const next = listed.filter((k) => !(hung >> k & 1)).reduce((a, b) => (cost(b) < cost(a) ? b : a));
      order.push(next);
      hung |= 1 << next;
      steps = between[next];
    }
    return {order, changes: along(order)};
  };
  return {best, putOn};
})();
