// The list of things with a wire, and the form that places, changes and takes one out.

import { choice, field, make } from "./ask.js";
import { PlaceFields } from "./place_form.js";
import { placeWords } from "./spots.js";

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
    this.list = make("ul", { class: "things", "aria-label": "Things with a wire" });
    const add = make("button", { type: "button", id: "add-thing", text: "add a thing", onclick: () => this.choose("") });
    this.hint = make("p", { class: "note", hidden: true });
    this.element = make("div", {}, this.hint, make("div", { class: "bar" }, add), this.form, this.list);
    this.devices = [];
  }

  /** The kind of thing that a project just begun needs next. */
  next() {
    const kinds = this.devices.map((device) => device.kind ?? "load");
    return kinds.includes("source") ? (kinds.includes("board") ? "load" : "board") : "source";
  }

  show(plan) {
    this.plan = plan;
    this.devices = plan?.devices ?? [];
    const fed = (plan?.circuits ?? []).some((circuit) => this.devices.some((one) => (one.kind ?? "load") === "load" && (circuit.to ?? []).includes(one.id)));
    this.hint.hidden = fed || this.next() === "load" && this.devices.length > 3;
    this.hint.textContent = HINTS[this.next()];
    this.list.replaceChildren(...this.devices.map((one) => make("li", {}, make("button", {
      type: "button", "data-thing": one.id, "aria-pressed": String(one.id === this.chosen), onclick: () => this.choose(one.id),
    }, make("b", { text: one.name ?? one.id }), make("small", { text: `${one.kind ?? "load"}${one.amps ? `, ${one.amps}` : one.watts ? `, ${one.watts}` : ""}` }),
    make("small", { text: placeWords(one.at) })))));
    const busy = this.form.contains(document.activeElement) && this.form.querySelector("form")?.dataset.typed;
    if (this.chosen && !this.devices.some((one) => one.id === this.chosen)) this.choose(null);
    else if (this.chosen !== null && !busy) this.draw();
  }

  /** Choose a thing; "" for a new one, null for none. */
  choose(id) {
    this.chosen = id;
    this.bench.endPointing();
    for (const one of this.list.querySelectorAll("button")) one.setAttribute("aria-pressed", String(one.dataset.thing === id));
    this.draw();
    if (id !== null) this.form.querySelector("input, select, button")?.focus({ preventScroll: false });
    this.bench.pickDevice(id || null);
  }

  draw() {
    if (this.chosen === null) {
      this.form.replaceChildren();
      return;
    }
    const fresh = this.chosen === "";
    const one = fresh ? { kind: this.next() } : this.devices.find((device) => device.id === this.chosen);
    if (!one) return;
    this.place = new PlaceFields(one.at);
    const name = make("input", { name: "name", value: one.name ?? "", required: true, maxlength: 80, autocomplete: "off" });
    const known = KINDS.some(([word]) => word === (one.kind ?? "load"));
    const kind = choice("kind", known ? KINDS : [...KINDS, one.kind], one.kind ?? "load");
    const amps = make("input", { name: "amps", value: one.amps ?? "", placeholder: "5 A", maxlength: 40, autocomplete: "off" });
    const fault = make("p", { class: "fault", role: "alert", hidden: true });
    const feeders = this.devices.filter((device) => FEEDING.includes(device.kind));
    const circuits = (this.plan?.circuits ?? []).filter((circuit) => (circuit.to ?? []).includes(one.id));
    // A circuit that feeds others too is not moved with one of them.
    const shared = circuits.length > 1 || circuits.some((circuit) => circuit.to.length > 1);
    const usual = one.kind === "source" ? "" : feeders.find((device) => device.kind === "board")?.id ?? feeders[0]?.id ?? "";
    const from = fresh ? usual : circuits[0]?.from ?? "";
    const fed = choice("fed", [["", "nothing yet"], ...feeders.filter((device) => device.id !== one.id).map((device) => [device.id, device.name ?? device.id])], from);
    const start = make("input", { name: "start_amps", value: one.start_amps ?? "", placeholder: "the same", maxlength: 40, autocomplete: "off" });
    const point = make("button", { type: "button", class: "small", text: "point at the wall" });
    const read = () => ({ name: name.value.trim(), kind: kind.value, amps: amps.value.trim(), start_amps: start.value.trim() });
    const form = make("form", { class: "card", novalidate: true },
      make("h2", { text: fresh ? "A new thing" : one.name ?? one.id }),
      make("div", { class: "fields" }, field("name", name, true), field("kind", kind), field("running current", amps),
        field("while it starts", start), shared ? null : field("fed from", fed), this.place.element),
      this.inSheet(one) ? make("p", { class: "note", text: `This stands in ${this.plan.sheet}. A change here goes into the project file and goes before the sheet; or write it into the sheet, at once and with a backup.` }) : null,
      fault,
      make("div", { class: "bar" },
        make("button", { type: "submit", text: fresh ? "add it" : "put it so" }), point,
        fresh ? null : make("button", { type: "button", class: "small", text: this.inSheet(one) ? `take it out of ${this.plan.sheet}` : "take it out",
          onclick: () => this.takeOut(one, fault) }),
        !this.inSheet(one) ? null : make("button", { type: "button", class: "small", text: `write it into ${this.plan.sheet}`, onclick: () => this.intoSheet(one, read(), fault) }),
        make("button", { type: "button", class: "small", text: "close", onclick: () => this.choose(null) })));
    form.addEventListener("input", () => { form.dataset.typed = "1"; });
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.submit(fresh, one, read(), fresh || (!shared && fed.value !== from) ? fed.value : "", fault);
    });
    point.addEventListener("click", () => this.point(fresh, one, fault));
    this.form.replaceChildren(form);
  }

  inSheet(one) {
    return (this.plan?.inSheet ?? []).includes(one.id);
  }

  takeOut(one, fault) {
    if (this.inSheet(one)) this.toSheet({ id: one.id, values: null }, fault, true);
    else this.send({ do: "take out device", id: one.id }, fault);
  }

  /** What was typed, into the sheet's row; what kind of thing it is the sheet says in words of its own. */
  intoSheet(one, typed, fault) {
    const values = changed({ name: one.name, amps: one.amps, start_amps: one.start_amps }, { name: typed.name, amps: typed.amps, start_amps: typed.start_amps });
    const at = this.place.value();
    if (JSON.stringify(at) !== JSON.stringify(this.sameKeys(one.at, at))) values.at = at;
    if (Object.keys(values).length) this.toSheet({ id: one.id, values }, fault);
  }

  async toSheet(asked, fault, close = false) {
    try {
      await this.bench.sheet(asked);
      if (close) this.choose(null);
      fault.hidden = true;
    } catch (error) {
      fault.textContent = error.message;
      fault.hidden = false;
    }
  }

  point(fresh, one, fault) {
    const who = fresh ? "the new thing" : one.name ?? one.id;
    this.bench.point(`Point at the wall where ${who} goes; Escape leaves it where it is.`, (spot) => {
      this.place.set(spot.place);
      if (fresh) return false;
      this.bench.view?.put(one.id, spot.point);
      this.send({ do: "move", id: one.id, at: spot.place }, fault);
      return true;
    });
  }

  submit(fresh, one, typed, fed, fault) {
    const at = this.place.value();
    if (fresh) {
      const told = Object.fromEntries(["amps", "start_amps"].filter((key) => typed[key]).map((key) => [key, typed[key]]));
      const device = { name: typed.name, kind: typed.kind, at, ...told };
      this.send({ do: "place", device, fed_from: fed }, fault, true);
      return;
    }
    const values = changed({ name: one.name, kind: one.kind ?? "load", amps: one.amps, start_amps: one.start_amps }, typed);
    if (JSON.stringify(at) !== JSON.stringify(this.sameKeys(one.at, at))) values.at = at;
    if (Object.keys(values).length || fed) this.send({ do: "set device", id: one.id, values, fed_from: fed }, fault);
  }

  /** Of a place as it was, the keys that the form has; so that a place which nobody touched is not written anew. */
  sameKeys(before, after) {
    return Object.fromEntries(Object.keys(after).map((key) => [key, before?.[key]]));
  }

  async send(edit, fault, close = false) {
    const form = this.form.querySelector("form");
    try {
      await this.bench.edit(edit);
      if (form) delete form.dataset.typed;
      if (close) this.choose(null);
      fault.hidden = true;
    } catch (error) {
      fault.textContent = error.message;
      fault.hidden = false;
      this.bench.redraw();
    }
  }
}
