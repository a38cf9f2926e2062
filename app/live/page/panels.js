// What lies beside the picture: a tab for each list or form, one shown at a time; tables are written when looked at.

import { make } from "./ask.js";
import { fits, followTable, tableOf } from "./lists.js";
import { showPanel, useTables } from "./tables.js";

const byId = (id) => document.getElementById(id);

/** Panels [id, title, element]; a panel whose element holds [data-table] shows that table of the plan. */
export class Panels {
  constructor(panels, picked) {
    this.plan = null;
    this.number = 0;
    this.element = byId("panels");
    byId("tabs").append(...panels.map(([id, title]) => make("button", {
      type: "button", class: "tab small", "data-panel": id, "aria-pressed": "false", onclick: () => this.open(id),
    }, title, make("small", {}))));
    this.element.append(...panels.map(([id, title, inside]) => make("section", { class: `panel of-${id}`, "data-panel": id, hidden: true, "aria-label": title }, inside)));
    useTables(this.element, picked);
    showPanel(document, panels[0][0]);
  }

  open(id) {
    showPanel(document, id);
    byId("tabs").querySelector(`[data-panel="${id}"]`)?.scrollIntoView({ block: "nearest", inline: "nearest" });
    this.fill();
  }

  show(plan, number, counts) {
    this.plan = plan;
    this.number = number;
    for (const [id, count] of counts) {
      const place = document.querySelector(`.tab[data-panel="${id}"] small`);
      if (place) place.textContent = ` ${count}`;
    }
    this.fill();
  }

  /** Write the table of the panel that is shown, if it is not of this plan yet; what was searched for stays. */
  fill() {
    if (!this.plan) return;
    for (const place of document.querySelectorAll(".panel:not([hidden]) [data-table]")) {
      const table = this.plan.tables.find((one) => one.id === place.dataset.table);
      if (!table || place.dataset.plan === String(this.number)) continue;
      const changed = new Set(this.plan.changed);
      if (fits(place.firstElementChild, table)) followTable(place.firstElementChild, table, changed);
      else {
        const find = place.querySelector("input.filter")?.value ?? "";
        place.replaceChildren(tableOf(table, changed));
        place.querySelector("input.filter").value = find;
        if (find) place.querySelector("input.filter").dispatchEvent(new Event("input", { bubbles: true }));
      }
      place.dataset.plan = String(this.number);
    }
  }
}
