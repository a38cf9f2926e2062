// Tables that can be searched and sorted, and rows that can be picked.

import { namesIn } from "./data.js";

/** A cell's worth for sorting: its number if it has one, else its text. */
export function worth(cell) {
  const value = cell.dataset.value;
  return value === undefined ? cell.textContent.trim().toLowerCase() : Number(value);
}

/** Order of two worths; numbers come before texts, and texts with figures in them are ordered as people count. */
export function order(a, b) {
  if (typeof a === "number" && typeof b === "number") return a - b;
  if (typeof a === "number") return -1;
  if (typeof b === "number") return 1;
  return a.localeCompare(b, "en", { numeric: true });
}

/** Sort a table by one of its columns; down: the greatest first. */
export function sortBy(head, column, down = head.getAttribute("aria-sort") === "ascending") {
  const body = head.closest("table").tBodies[0];
  const rows = [...body.rows].map((row) => ({ row, worth: worth(row.cells[column]) }));
  rows.sort((a, b) => (down ? order(b.worth, a.worth) : order(a.worth, b.worth)));
  // A row that is moved loses the focus, so one that stands right already stays.
  if (rows.some(({ row }, i) => body.rows[i] !== row)) {
    const focus = document.activeElement;
    body.append(...rows.map((one) => one.row));
    if (body.contains(focus)) focus.focus({ preventScroll: true });
  }
  for (const other of head.parentElement.cells) other.removeAttribute("aria-sort");
  head.setAttribute("aria-sort", down ? "descending" : "ascending");
}

function search(panel, text) {
  const words = text.toLowerCase().split(/\s+/).filter(Boolean);
  let shown = 0;
  const rows = panel.querySelectorAll("tbody tr");
  for (const row of rows) {
    const all = row.textContent.toLowerCase();
    row.hidden = !words.every((word) => all.includes(word));
    if (!row.hidden) shown += 1;
  }
  panel.querySelector(".count").textContent = words.length ? `${shown} of ${rows.length}` : "";
}

/** Make a plan's tables work. onPick(row, runs, openings) is called when a row is picked. */
export function useTables(section, onPick) {
  section.addEventListener("click", (event) => {
    const sort = event.target.closest("button.sort");
    if (sort) {
      sortBy(sort.closest("th"), Number(sort.dataset.column));
      return;
    }
    const row = event.target.closest("tbody tr");
    if (!row || event.target.closest("input")) return;
    onPick(row, namesIn(row.dataset.runs), namesIn(row.dataset.openings));
  });
  section.addEventListener("input", (event) => {
    if (event.target.matches("input.filter")) search(event.target.closest(".panel"), event.target.value);
  });
}

/** Show one of a plan's tables. */
export function showPanel(section, name) {
  for (const panel of section.querySelectorAll(".panel")) panel.hidden = panel.dataset.panel !== name;
  for (const tab of section.querySelectorAll(".tab")) {
    tab.setAttribute("aria-pressed", String(tab.dataset.panel === name));
  }
}

/** The row of a table that is about something; null if there is none. */
export function rowOf(section, panel, id) {
  const rows = section.querySelectorAll(`.panel[data-panel="${panel}"] tbody tr`);
  return [...rows].find((row) => row.dataset.id === id) ?? null;
}

/** Mark a row as the picked one; none if null. */
export function markRow(section, row) {
  for (const old of section.querySelectorAll("tr.picked")) {
    old.classList.remove("picked");
    old.removeAttribute("aria-current");
  }
  if (!row) return;
  row.hidden = false;
  row.classList.add("picked");
  row.setAttribute("aria-current", "true");
}
