"use strict";
// The map's table as other scripts read it: rows by their want, cells by the number of their step.
const cells = (() => {
  const table = document.getElementById("map");
  const rows = [...table.querySelectorAll("tr[data-want]")];
  const rowOf = new Map(rows.map((row) => [row.dataset.want, row]));
  // Columns go by the number of their step; the one for gears ticked stands behind all steps.
  const stepsOf = (selector) => [...table.tHead.querySelectorAll(selector)].map((head) => Number(head.dataset.step));
  const columns = stepsOf("[data-step]");
  const lastStep = Math.max(...stepsOf("[data-step]:not(.what-if-column)"));

  const cellOf = (row, step) => row.querySelector(`[data-step="${step}"]`);
  const nameOf = (row) => row.querySelector("th a").textContent;
  const rank = (row, step) => constants.verdicts.findIndex(({ slug }) => cellOf(row, step).classList.contains(slug));
  const covered = (row, step) => Boolean(constants.verdicts[rank(row, step)]?.covered);
  // Rows that are not hidden, as they stand.
  const visible = () => [...table.querySelectorAll("tr[data-want]")].filter((row) => !row.hidden && !row.parentNode.hidden);

  return { table, rows, rowOf, columns, lastStep, cellOf, nameOf, rank, covered, visible };
})();
