// One circuit: what feeds it, how its cables lead, how much it may drop, its fuse and its cable.

import { choice, field, make } from "./ask.js";

const PATTERNS = [["home", "home: a cable to each"], ["chain", "chain: from one to the next"], ["switched chain", "switched chain: from the switch on"],
  ["switch drop", "switch drop: a leg down to the switch"], ["two-way", "two-way: two switches"], ["dimmer", "dimmer"], ["relay", "relay"], ["stated", "stated run by run"]];
const FEEDING = ["source", "board", "inverter", "charger"];
const TYPED = [["drop", "drop allowed", "5 %, or critical"], ["fuse", "fuse", "found"], ["least", "cable at least", "found"], ["cable", "cable, just this", "found"]];

export class Circuits {
  constructor(bench) {
    this.bench = bench;
    this.chosen = null;
    this.form = make("div");
    this.element = make("div", {}, make("p", { class: "note", text: "Pick a circuit below to change it." }), this.form);
  }

  show(plan) {
    this.plan = plan;
    const busy = this.form.contains(document.activeElement) && this.form.querySelector("form")?.dataset.typed;
    if (this.chosen && !busy) this.draw();
  }

  choose(id) {
    this.chosen = id;
    this.draw();
  }

  draw() {
    const one = (this.plan?.circuits ?? []).find((circuit) => circuit.id === this.chosen);
    if (!one) {
      this.chosen = null;
      this.form.replaceChildren();
      return;
    }
    const name = make("input", { name: "circuit-name", value: one.name ?? "", maxlength: 80, autocomplete: "off" });
    const feeders = this.plan.devices.filter((device) => FEEDING.includes(device.kind) || device.id === one.from);
    const from = choice("from", feeders.map((device) => [device.id, device.name ?? device.id]), one.from);
    const known = PATTERNS.some(([word]) => word === (one.pattern ?? "home"));
    const pattern = choice("pattern", known ? PATTERNS : [...PATTERNS, one.pattern], one.pattern ?? "home");
    const typed = TYPED.map(([key, label, hint]) => [key, label, make("input", { name: key, value: one[key] ?? "", placeholder: hint, maxlength: 60, autocomplete: "off" })]);
    const fault = make("p", { class: "fault", role: "alert", hidden: true });
    const named = (id) => this.plan.devices.find((device) => device.id === id)?.name ?? id;
    const form = make("form", { class: "card", novalidate: true },
      make("h2", { text: `${one.id}: ${one.name ?? ""}` }),
      make("p", { class: "note", text: `feeds ${(one.to ?? []).map(named).join(", ")}` }),
      make("div", { class: "fields" }, field("name", name, true), field("fed from", from), field("how its cables lead", pattern),
        ...typed.map(([, label, input]) => field(label, input))),
      fault,
      make("div", { class: "bar" }, make("button", { type: "submit", text: "put it so" }),
        make("button", { type: "button", class: "small", text: "take it out", onclick: () => this.send({ do: "take out circuit", id: one.id }, fault) }),
        make("button", { type: "button", class: "small", text: "close", onclick: () => this.choose(null) })));
    form.addEventListener("input", () => { form.dataset.typed = "1"; });
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      const after = { name: name.value.trim(), from: from.value, pattern: pattern.value, ...Object.fromEntries(typed.map(([key, , input]) => [key, input.value.trim()])) };
      const before = { ...one, pattern: one.pattern ?? "home" };
      const values = Object.fromEntries(Object.entries(after).filter(([key, value]) => String(before[key] ?? "") !== value).map(([key, value]) => [key, value || null]));
      if (Object.keys(values).length) this.send({ do: "set circuit", id: one.id, values }, fault);
    });
    this.form.replaceChildren(form);
  }

  async send(edit, fault) {
    const form = this.form.querySelector("form");
    try {
      await this.bench.edit(edit);
      if (form) delete form.dataset.typed;
      fault.hidden = true;
    } catch (error) {
      fault.textContent = error.message;
      fault.hidden = false;
    }
  }
}
