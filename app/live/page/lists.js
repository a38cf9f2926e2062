// Tables of the plan, made from data: sortable, searchable, and picked to be shown in the picture.

import { make } from "./ask.js";
import { fill } from "./kept.js";
import { sortBy } from "./tables.js";

function cellOf(column, cell) {
  const [first, ...rest] = cell.text.split("\n");
  const inside = rest.length ? [make("div", { text: first }), make("small", { text: rest.join(" ") })] : [first];
  const shown = [column.kind, column.show].filter(Boolean).join(" ");
  return make("td", { class: shown, "data-label": column.heading, "data-value": cell.value }, ...inside);
}

function lineOf(table, { row, fresh }) {
  const line = make("tr", {
    "data-id": row.id,
    "data-runs": row.runs.length ? row.runs.join("\n") : false,
    "data-openings": row.openings.length ? row.openings.join("\n") : false,
    class: [row.level, fresh ? "changed" : ""].filter(Boolean).join(" ") || false,
  });
  row.cells.forEach((cell, index) => {
    const made = cellOf(table.columns[index], cell);
    if (index === 0 && (row.runs.length || row.openings.length)) {
      made.replaceChildren(make("button", { type: "button", class: "pick", text: cell.text, title: "show in the picture" }));
    }
    line.append(made);
  });
  return line;
}

/** A table as an element that works with the report page's sorting and searching. */
export function tableOf(table, changed) {
  const head = make("tr", {}, ...table.columns.map((column, index) => make("th", { scope: "col", class: column.kind },
    make("button", { type: "button", class: "sort", "data-column": index, text: column.heading }))));
  const found = make("div", { "data-columns": JSON.stringify(table.columns) },
    make("div", { class: "finder" },
      make("label", {}, "Find ", make("input", { type: "search", class: "filter", autocomplete: "off", placeholder: "any word", maxlength: 80 })),
      make("span", { class: "count", role: "status" })),
    make("div", { class: "cards" }, make("table", { "aria-label": table.title }, make("thead", {}, head), make("tbody", {}))),
    make("div", { class: "table-notes" }));
  followTable(found, table, changed);
  return found;
}

/** Whether an element made of a table can show another one. */
export const fits = (element, table) => element?.dataset.columns === JSON.stringify(table.columns);

/** Let an element show its table as it is now: rows that are as they were stay, and so do what is searched for, picked and sorted. */
export function followTable(element, table, changed) {
  const body = element.querySelector("tbody");
  const picked = body.querySelector("tr.picked")?.dataset.id;
  const times = new Map();
  const rows = table.rows.map((row) => {
    times.set(row.id, (times.get(row.id) ?? 0) + 1);
    return { row, fresh: table.id === "runs" && row.runs.some((run) => changed.has(run)), time: times.get(row.id) };
  });
  fill(body, rows, ({ row, time }) => `${row.id}\n${time}`, (one) => lineOf(table, one));
  const again = [...body.rows].find((row) => row.dataset.id === picked);
  if (picked !== undefined && again && !again.classList.contains("picked")) {
    again.classList.add("picked");
    again.setAttribute("aria-current", "true");
  }
  fill(element.querySelector(".table-notes"), table.notes, (note) => note, (note) => make("p", { class: "note", text: note }));
  const sorted = element.querySelector("th[aria-sort]");
  if (sorted) sortBy(sorted, sorted.cellIndex, sorted.getAttribute("aria-sort") === "descending");
  const find = element.querySelector("input.filter");
  if (find.value) find.dispatchEvent(new Event("input", { bubbles: true }));
}
