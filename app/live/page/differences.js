// Two plans of one van: their sums side by side, and the runs that are not the same in both.

import { make } from "./ask.js";

const SAME_M = 1e-6;

/** Runs that differ: id, and what is to be said of each plan; "" where a plan has no such run. */
export function differing(plan, other) {
  const here = new Map(plan.runs.map((run) => [run.id, run]));
  const there = new Map(other.runs.map((run) => [run.id, run]));
  const rows = [];
  for (const id of new Set([...here.keys(), ...there.keys()])) {
    const [one, two] = [here.get(id), there.get(id)];
    if (!one || !two) {
      rows.push({ id, here: one ? `${one.cut}, ${one.cable}` : "", there: two ? `${two.cut}, ${two.cable}` : "" });
      continue;
    }
    const way = one.openings.join(", ") !== two.openings.join(", ");
    const size = one.cable !== two.cable;
    if (Math.abs(one.metres - two.metres) < SAME_M && !way && !size) continue;
    const told = (run) => [run.cut, size ? run.cable : "", way ? `through ${run.openings.join(", ") || "no opening"}` : ""].filter(Boolean).join(", ");
    rows.push({ id, here: told(one), there: told(two) });
  }
  return rows;
}

function table(label, heads, rows) {
  return make("div", { class: "compare of-figures" }, make("table", { "aria-label": label },
    make("thead", {}, make("tr", {}, ...heads.map((text) => make("th", { scope: "col", text })))),
    make("tbody", {}, ...rows.map((cells) => make("tr", {}, ...cells.map((text, i) => make("td", { "data-label": heads[i], text })))))));
}

/** Both as elements: names of the two plans, and the plans. */
export function differencesOf(nameHere, nameThere, plan, other) {
  const figures = plan.totals.map((one) => {
    const two = other.totals.find((total) => total.name === one.name);
    const more = two && two.worth !== one.worth ? (two.worth > one.worth ? " ▲" : " ▼") : "";
    return [one.name, one.text, two ? `${two.text}${more}` : "–"];
  });
  const runs = differing(plan, other).map((row) => [row.id, row.here || "not there", row.there || "not there"]);
  return [
    make("h2", { text: "Sums" }), table("Figures side by side", ["", nameHere, nameThere], figures),
    make("h2", { text: `Runs that differ: ${runs.length}` }), table("Runs that differ", ["run", nameHere, nameThere], runs),
  ];
}
