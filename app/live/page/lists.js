// Tables of the plan, made from data: sortable, searchable, and picked to be shown in the picture.

import { make } from "./ask.js";

function cellOf(column, cell) {
  const [first, ...rest] = cell.text.split("\n");
  const inside = rest.length ? [make("div", { text: first }), make("small", { text: rest.join(" ") })] : [first];
  const shown = [column.kind, column.show].filter(Boolean).join(" ");
  return make("td", { class: shown, "data-label": column.heading, "data-value": cell.value }, ...inside);
}

/** A table as an element that works with the report page's sorting and searching. */
export function tableOf(table, changed) {
  const head = make("tr", {}, ...table.columns.map((column, index) => make("th", { scope: "col", class: column.kind },
    make("button", { type: "button", class: "sort", "data-column": index, text: column.heading }))));
  const rows = table.rows.map((row) => {
    const names = [row.level, row.runs.some((run) => changed.has(run)) && table.id === "runs" ? "changed" : ""];
    const line = make("tr", {
      "data-id": row.id,
      "data-runs": row.runs.length ? row.runs.join("\n") : false,
      "data-openings": row.openings.length ? row.openings.join("\n") : false,
      class: names.filter(Boolean).join(" ") || false,
    });
    row.cells.forEach((cell, index) => {
      const made = cellOf(table.columns[index], cell);
      if (index === 0 && (row.runs.length || row.openings.length)) {
        made.replaceChildren(make("button", { type: "button", class: "pick", text: cell.text, title: "show in the picture" }));
      }
      line.append(made);
    });
    return line;
  });
  return make("div", {},
    make("div", { class: "finder" },
      make("label", {}, "Find ", make("input", { type: "search", class: "filter", autocomplete: "off", placeholder: "any word", maxlength: 80 })),
      make("span", { class: "count", role: "status" })),
    make("div", { class: "cards" }, make("table", { "aria-label": table.title }, make("thead", {}, head), make("tbody", {}, ...rows))),
    ...table.notes.map((note) => make("p", { class: "note", text: note })));
}
