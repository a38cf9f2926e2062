// One circuit: what feeds it, how its cables lead, how much it may drop, its fuse and its cable.

import { choice, field, make } from "./ask.js";
import { Ahead, InTurn, accept, follow, refuse } from "./typed.js";

const PATTERNS = [["home", "home: a cable to each"], ["chain", "chain: from one to the next"], ["switched chain", "switched chain: from the switch on"],
  ["switch drop", "switch drop: a leg down to the switch"], ["two-way", "two-way: two switches"], ["dimmer", "dimmer"], ["relay", "relay"], ["stated", "stated run by run"]];
const USUAL = "home";
const FEEDING = ["source", "board", "inverter", "charger"];
const TYPED = [["drop", "drop allowed", "5 %, or critical"], ["fuse", "fuse", "found"], ["least", "cable at least", "found"], ["cable", "cable, just this", "found"]];

export class Circuits {
  constructor(bench) {
    this.bench = bench;
    this.chosen = null;
    this.form = make("div");
    this.fields = {};
    this.ahead = new Ahead();
    this.turns = new InTurn();
    this.element = make("div", {}, make("p", { class: "note", text: "Pick a circuit below to change it." }), this.form);
  }

  /** Show a plan; whose: which way it is of, and which sitting of the server. */
  show(plan, whose) {
    this.plan = plan;
    this.ahead.reached(plan, whose);
    if (this.chosen !== null) this.draw();
  }

  choose(id) {
    this.chosen = id;
    this.form.replaceChildren();
    this.draw();
  }

  /** The circuit that is chosen, as it will be when all that was sent is planned; undefined if there is none. */
  get one() {
    return this.known(this.chosen);
  }

  known(id) {
    return this.ahead.of((this.plan?.circuits ?? []).find((circuit) => circuit.id === id));
  }

  /** The form of what is chosen; one that stands already follows the plan, and what is typed into it stays. */
  draw() {
    const { one } = this;
    if (!one) {
      this.chosen = null;
      this.form.replaceChildren();
      return;
    }
    const fields = this.fieldsOf(one);
    const named = (id) => this.plan.devices.find((device) => device.id === id)?.name ?? id;
    const [title, feeds] = [`${one.id}: ${one.name ?? ""}`, `feeds ${(one.to ?? []).map(named).join(", ")}`];
    const standing = this.form.firstElementChild;
    if (standing) {
      follow(this.fields, fields);
      standing.querySelector("h2").textContent = title;
      standing.querySelector(".note").textContent = feeds;
      return;
    }
    this.fields = fields;
    this.fault = make("p", { class: "fault", role: "alert", hidden: true });
    this.form.replaceChildren(make("form", { class: "card", novalidate: true, onsubmit: (event) => { event.preventDefault(); this.submit(); } },
      make("h2", { text: title }), make("p", { class: "note", text: feeds }),
      make("div", { class: "fields" }, field("name", fields.name, true), field("fed from", fields.from), field("how its cables lead", fields.pattern),
        ...TYPED.map(([key, label]) => field(label, fields[key]))),
      this.fault,
      make("div", { class: "bar" }, make("button", { type: "submit", text: "put it so" }),
        make("button", { type: "button", class: "small", text: "take it out", onclick: () => this.send({ do: "take out circuit", id: this.chosen }) }),
        make("button", { type: "button", class: "small", text: "close", onclick: () => this.choose(null) }))));
  }

  fieldsOf(one) {
    const feeders = this.plan.devices.filter((device) => FEEDING.includes(device.kind) || device.id === one.from);
    const pattern = one.pattern ?? USUAL;
    const known = PATTERNS.some(([word]) => word === pattern);
    return {
      name: make("input", { name: "circuit-name", value: one.name ?? "", maxlength: 80, autocomplete: "off" }),
      from: choice("from", feeders.map((device) => [device.id, device.name ?? device.id]), one.from),
      pattern: choice("pattern", known ? PATTERNS : [...PATTERNS, pattern], pattern),
      ...Object.fromEntries(TYPED.map(([key, , hint]) => [key, make("input", { name: key, value: one[key] ?? "", placeholder: hint, maxlength: 60, autocomplete: "off" })])),
    };
  }

  /** Send what the fields say now, as soon as what was sent before is answered: only then is it known what it changes. */
  submit() {
    const { chosen } = this;
    const typed = Object.entries(this.fields).map(([key, input]) => [key, input.value.trim()]);
    accept(this.fields);
    this.turns.do(() => {
      const before = { pattern: USUAL, ...this.known(chosen) };
      const values = Object.fromEntries(typed.filter(([key, value]) => String(before[key] ?? "") !== value).map(([key, value]) => [key, value || null]));
      return Object.keys(values).length ? this.send({ do: "set circuit", id: chosen, values }, values) : null;
    });
  }

  async send(edit, values = {}) {
    const { fault } = this;
    try {
      await this.bench.edit(edit);
    } catch (error) {
      fault.textContent = error.message;
      fault.hidden = false;
      if (this.one && this.chosen === edit.id) refuse(this.fields, this.fieldsOf(this.one));
      return;
    }
    fault.hidden = true;
    this.ahead.add(edit.id, values, this.bench.revision);
    this.ahead.reached(this.plan);
    if (this.chosen === edit.id) this.draw();
  }
}
