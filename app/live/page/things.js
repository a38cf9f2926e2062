// The list of things with a wire, and the form that places, changes and takes one out.

import { choice, field, make } from "./ask.js";
import { fill } from "./kept.js";
import { PlaceFields, samePlace } from "./place_form.js";
import { placeWords } from "./spots.js";
import { Ahead, InTurn, accept, atFields, follow, refuse, touched } from "./typed.js";

const KINDS = [["load", "load: lamp, fridge, pump"], ["source", "source: battery, solar gland, inlet"], ["board", "fuse board"], ["outlet", "outlet"],
  ["switch", "switch"], ["controller", "controller or panel"], ["sensor", "sensor, antenna, camera"], ["inverter", "inverter"], ["charger", "charger"]];
const FEEDING = ["source", "board", "inverter", "charger"];

const HINTS = {
  source: "Begin with the battery: add it, and say where it stands.",
  board: "Next the fuse board: add it, fed from the battery.",
  load: "Now what the fuse board feeds: lamps, the fridge, the pump. Each new thing gets its own circuit.",
};

/** What has changed in a form, by key; an emptied field takes its key out. */
function changed(before, after) {
  const values = {};
  for (const [key, value] of Object.entries(after)) {
    if ((before[key] ?? "") !== value) values[key] = value === "" ? null : value;
  }
  return values;
}

export class Things {
  /** bench: what the panel may ask of the page: edit(edit), point(words, take), pick(device). */
  constructor(bench) {
    this.bench = bench;
    this.chosen = null;
    this.form = make("div");
    this.fields = {};
    this.ahead = new Ahead();
    this.turns = new InTurn();
    this.list = make("ul", { class: "things", "aria-label": "Things with a wire" });
    this.add = make("button", { type: "button", id: "add-thing", text: "add a thing", onclick: () => this.choose("") });
    this.hint = make("p", { class: "note", hidden: true });
    this.element = make("div", {}, this.hint, make("div", { class: "bar" }, this.add), this.form, this.list);
    this.devices = [];
  }

  /** The kind of thing that a project just begun needs next. */
  next() {
    const kinds = this.devices.map((device) => device.kind ?? "load");
    return kinds.includes("source") ? (kinds.includes("board") ? "load" : "board") : "source";
  }

  /** Show a plan; whose: which way it is of, and which sitting of the server. */
  show(plan, whose) {
    this.plan = plan;
    this.ahead.reached(plan, whose);
    this.devices = plan?.devices ?? [];
    const fed = (plan?.circuits ?? []).some((circuit) => this.devices.some((one) => (one.kind ?? "load") === "load" && (circuit.to ?? []).includes(one.id)));
    this.hint.hidden = fed || this.next() === "load" && this.devices.length > 3;
    this.hint.textContent = HINTS[this.next()];
    fill(this.list, this.devices, (one) => one.id, (one) => this.line(one));
    if (this.chosen && !this.devices.some((one) => one.id === this.chosen)) this.choose(null);
    else if (this.chosen !== null) this.draw();
  }

  line(one) {
    return make("li", {}, make("button", {
      type: "button", "data-thing": one.id, "aria-pressed": String(one.id === this.chosen), onclick: () => this.choose(one.id),
    }, make("b", { text: one.name ?? one.id }), make("small", { text: `${one.kind ?? "load"}${one.amps ? `, ${one.amps}` : one.watts ? `, ${one.watts}` : ""}` }),
    make("small", { text: placeWords(one.at) })));
  }

  /** Choose a thing; "" for a new one, null for none. */
  choose(id) {
    const before = this.form.contains(document.activeElement) ? this.chosen : null;
    this.chosen = id;
    this.bench.endPointing();
    for (const one of this.list.querySelectorAll("button")) one.setAttribute("aria-pressed", String(one.dataset.thing === id));
    this.form.replaceChildren();
    this.draw();
    if (id !== null) this.form.querySelector("input, select, button")?.focus({ preventScroll: false });
    else if (before !== null) ([...this.list.querySelectorAll("button")].find((one) => one.dataset.thing === before) ?? this.add).focus({ preventScroll: true });
    this.bench.pickDevice(id || null);
  }

  /** The thing that is chosen, as it will be when all that was sent is planned; undefined if there is none. */
  get one() {
    return this.chosen === "" ? { kind: this.next() } : this.known(this.chosen);
  }

  known(id) {
    return this.ahead.of(this.devices.find((device) => device.id === id));
  }

  /** What the circuit fields rest on: what feeds the thing, and whether that is its own circuit. */
  feeding(one) {
    const circuits = (this.plan?.circuits ?? []).filter((circuit) => (circuit.to ?? []).includes(one.id));
    const feeders = this.devices.filter((device) => FEEDING.includes(device.kind) && device.id !== one.id);
    const usual = one.kind === "source" ? "" : feeders.find((device) => device.kind === "board")?.id ?? feeders[0]?.id ?? "";
    // A circuit that feeds others too is not moved with one of them.
    const shared = circuits.length > 1 || circuits.some((circuit) => circuit.to.length > 1);
    return { feeders, shared, from: this.chosen === "" ? usual : circuits[0]?.from ?? "" };
  }

  /** The form of what is chosen. One that stands already follows the plan field by field; what is typed into it stays. */
  draw() {
    const { one } = this;
    if (this.chosen === null || !one) {
      this.form.replaceChildren();
      return;
    }
    const { feeders, shared, from } = this.feeding(one);
    const shape = JSON.stringify([one.id ?? null, shared, this.inSheet(one)]);
    const fields = this.fieldsOf(one, feeders, from);
    const standing = this.form.firstElementChild;
    const begun = standing && (atFields(standing) || Object.values(this.fields).some(touched) || this.place.differs(one.at));
    if (standing && (standing.dataset.shape === shape || (begun && standing.dataset.of === (one.id ?? "")))) {
      follow(this.fields, fields);
      this.place.follow(one.at);
      standing.querySelector("h2").textContent = this.chosen === "" ? "A new thing" : one.name ?? one.id;
      return;
    }
    this.fields = fields;
    this.place = new PlaceFields(one.at);
    this.form.replaceChildren(this.formOf(one, shared));
    Object.assign(this.form.firstElementChild.dataset, { shape, of: one.id ?? "" });
  }

  fieldsOf(one, feeders, from) {
    const known = KINDS.some(([word]) => word === (one.kind ?? "load"));
    return {
      name: make("input", { name: "name", value: one.name ?? "", required: true, maxlength: 80, autocomplete: "off" }),
      kind: choice("kind", known ? KINDS : [...KINDS, one.kind], one.kind ?? "load"),
      amps: make("input", { name: "amps", value: one.amps ?? "", placeholder: "5 A", maxlength: 40, autocomplete: "off" }),
      start_amps: make("input", { name: "start_amps", value: one.start_amps ?? "", placeholder: "the same", maxlength: 40, autocomplete: "off" }),
      fed: choice("fed", [["", "nothing yet"], ...feeders.map((device) => [device.id, device.name ?? device.id])], from),
    };
  }

  formOf(one, shared) {
    const { fields } = this;
    const fresh = this.chosen === "";
    const fault = this.fault = make("p", { class: "fault", role: "alert", hidden: true });
    const small = (text, act) => make("button", { type: "button", class: "small", text, onclick: act });
    return make("form", { class: "card", novalidate: true, onsubmit: (event) => { event.preventDefault(); this.submit(); } },
      make("h2", { text: fresh ? "A new thing" : one.name ?? one.id }),
      make("div", { class: "fields" }, field("name", fields.name, true), field("kind", fields.kind), field("running current", fields.amps),
        field("while it starts", fields.start_amps), shared ? null : field("fed from", fields.fed), this.place.element),
      this.inSheet(one) ? make("p", { class: "note", text: `This stands in ${this.plan.sheet}. A change here goes into the project file and goes before the sheet; or write it into the sheet, at once and with a backup.` }) : null,
      fault,
      make("div", { class: "bar" },
        make("button", { type: "submit", text: fresh ? "add it" : "put it so" }), small("point at the wall", () => this.point()),
        fresh ? null : small(this.inSheet(one) ? `take it out of ${this.plan.sheet}` : "take it out", () => this.takeOut()),
        this.inSheet(one) ? small(`write it into ${this.plan.sheet}`, () => this.intoSheet()) : null,
        small("close", () => this.choose(null))));
  }

  inSheet(one) {
    return (this.plan?.inSheet ?? []).includes(one.id);
  }

  takeOut() {
    if (this.inSheet(this.one)) this.toSheet(this.chosen, null);
    else this.send({ do: "take out device", id: this.chosen });
  }

  /** What the fields say. */
  typed() {
    return Object.fromEntries(["name", "kind", "amps", "start_amps"].map((key) => [key, this.fields[key].value.trim()]));
  }

  /** What was typed, into the sheet's row; what kind of thing it is the sheet says in words of its own. */
  intoSheet() {
    const { one } = this;
    const { kind, ...values } = changed({ kind: one.kind ?? "load", ...one }, this.typed());
    if (this.place.differs(one.at)) values.at = this.place.value();
    if (Object.keys(values).length) this.toSheet(one.id, values);
  }

  async toSheet(id, values) {
    const { fault } = this;
    try {
      await this.bench.sheet({ id, values });
      fault.hidden = true;
    } catch (error) {
      tell(fault, error);
      return;
    }
    if (values === null && this.chosen === id) this.choose(null);
  }

  point() {
    const fresh = this.chosen === "";
    const { one } = this;
    const who = fresh ? "the new thing" : one.name ?? one.id;
    this.bench.point(`Point at the wall where ${who} goes; Escape leaves it where it is.`, (spot) => {
      this.place.set(spot.place);
      if (fresh) return false;
      this.bench.view?.put(one.id, spot.point);
      this.send({ do: "move", id: one.id, at: spot.place }, { at: spot.place });
      return true;
    });
  }

  /** Send what the fields say now, as soon as what was sent before is answered: only then is it known what it changes. */
  submit() {
    const { chosen } = this;
    const [typed, at, fed] = [this.typed(), this.place.value(), this.fields.fed];
    const form = this.form.firstElementChild;
    const fedFrom = chosen === "" || (fed.isConnected && touched(fed)) ? fed.value : "";
    accept(this.fields);
    this.place.accept();
    this.turns.do(() => {
      if (chosen === "") {
        if (form !== this.form.firstElementChild) return null; // it was added: Enter was pressed twice
        const told = Object.fromEntries(["amps", "start_amps"].filter((key) => typed[key]).map((key) => [key, typed[key]]));
        return this.send({ do: "place", device: { name: typed.name, kind: typed.kind, at, ...told }, fed_from: fedFrom });
      }
      const one = this.known(chosen);
      if (!one) return null;
      const values = changed({ ...one, kind: one.kind ?? "load" }, typed);
      if (!samePlace(at, one.at)) values.at = at;
      return Object.keys(values).length || fedFrom ? this.send({ do: "set device", id: chosen, values, fed_from: fedFrom }, values) : null;
    });
  }

  /** What was sent of a thing is refused: its form goes on saying it. */
  refused(chosen) {
    const { one } = this;
    if (this.chosen !== chosen || !one) return;
    const { feeders, from } = this.feeding(one);
    refuse(this.fields, this.fieldsOf(one, feeders, from));
    this.place.refuse(one.at);
  }

  /** Send an edit; values are what it makes of the thing that is chosen, null if that is left behind by it. */
  async send(edit, values = null) {
    const { fault, chosen } = this;
    try {
      await this.bench.edit(edit);
    } catch (error) {
      tell(fault, error);
      this.refused(chosen);
      return;
    }
    fault.hidden = true;
    if (values) {
      this.ahead.add(edit.id, values, this.bench.revision);
      this.ahead.reached(this.plan);
    }
    if (this.chosen !== chosen) return;
    if (values === null) this.choose(null);
    else this.draw();
  }
}

function tell(fault, error) {
  fault.textContent = error.message;
  fault.hidden = false;
}
