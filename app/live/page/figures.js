// The sums under the picture: what is asked for most, and the rest to be opened.

import { make } from "./ask.js";

const FIRST = ["Copper", "Cable cut", "Worst drop", "Findings"];
const UNSAFE = 1000;
const byId = (id) => document.getElementById(id);

function figure(one) {
  return make("div", { class: one.name === "Findings" && one.worth >= UNSAFE ? "bad" : false },
    make("dt", { text: one.name }), make("dd", { text: one.text }));
}

export function showFigures(plan) {
  const any = plan.scene.runs.length > 0;
  byId("totals").hidden = !any;
  byId("more").hidden = !any;
  byId("totals").replaceChildren(...plan.totals.filter((one) => FIRST.includes(one.name)).map(figure));
  byId("rest").replaceChildren(...plan.totals.filter((one) => !FIRST.includes(one.name)).map(figure));
  byId("bound").textContent = plan.bound || "How little copper would do is being reckoned …";
}
