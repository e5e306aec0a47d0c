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
  // The step that stands beside "now" when the page is opened: the one advised.
  const shownFirst = Number(table.dataset.shown ?? lastStep);

  // A cell leads where its row does.
  const lead = (row) => {
    for (const link of row.querySelectorAll("td a:not([href])")) Object.assign(link, { href: `#${row.dataset.want}`, tabIndex: -1 });
  };
  rows.forEach(lead);
  // The cells for gears ticked are made when they are asked for.
  const made = (row, step) => {
    if (!columns.includes(step)) return null;
    const cell = row.insertCell();
    cell.className = "what-if-column";
    cell.dataset.step = step;
    cell.append(document.createElement("a"));
    lead(row);
    return cell;
  };
  const cellOf = (row, step) => row.querySelector(`[data-step="${step}"]`) ?? made(row, step);
  const nameOf = (row) => row.querySelector("th a").textContent;
  const rank = (row, step) => constants.verdicts.findIndex(({ slug }) => cellOf(row, step)?.classList.contains(slug));
  const covered = (row, step) => Boolean(constants.verdicts[rank(row, step)]?.covered);
  const exact = (row, step) => rank(row, step) === 0;
  const overloaded = (row, step) => Boolean(cellOf(row, step)?.classList.contains("over"));
  const trainOf = (row, step) => cellOf(row, step)?.querySelector("b")?.textContent ?? "";
  // What a column is, in the words of its head.
  const headOf = (step) => table.tHead.querySelector(`[data-step="${step}"] .column-name`).textContent;

  // Rows that are neither hidden nor folded away, as they stand.
  const folded = (row) => row.classList.contains("settled") && !row.parentNode.hasAttribute("data-open");
  const visible = () =>
    [...table.querySelectorAll("tr[data-want]")].filter((row) => !row.hidden && !row.parentNode.hidden && !folded(row));

  return { table, rows, rowOf, columns, lastStep, shownFirst, cellOf, nameOf, rank, covered, exact, overloaded, trainOf, headOf, lead, visible };
})();
