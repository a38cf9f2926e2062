// Keep-outs and openings: what of the van no cable may enter, and what is known of its holes.

import { choice, field, make, once } from "./ask.js";
import { fill } from "./kept.js";
import { PlaceFields } from "./place_form.js";
import { placeWords } from "./spots.js";

const REASONS = ["screw zone", "airbag", "window", "door", "heat", "fuel", "gas locker", "other"];

/** Send an edit and show beside its form what is wrong with it. */
async function send(bench, edit, fault) {
  try {
    await bench.edit(edit);
    fault.hidden = true;
    return true;
  } catch (error) {
    fault.textContent = error.message;
    fault.hidden = false;
    return false;
  }
}

export class KeepOuts {
  constructor(bench) {
    this.bench = bench;
    this.list = make("ul", { class: "things", "aria-label": "Keep-outs" });
    this.element = make("div", {}, this.form(), this.list);
  }

  show(plan) {
    fill(this.list, plan?.keepOuts ?? [], (one) => one.name, (one) => make("li", { class: "bar" },
      make("span", {}, make("b", { text: `${one.name} ` }), make("small", { text: `${one.why}: ${placeWords(one.corner)} to ${placeWords(one.opposite)}` })),
      make("button", { type: "button", class: "small", "aria-label": `take out ${one.name}`, text: "take out",
        onclick: () => send(this.bench, { do: "take out keep-out", name: one.name }, this.fault) })));
  }

  form() {
    const name = make("input", { name: "name", required: true, maxlength: 60, autocomplete: "off" });
    const why = choice("why", REASONS, REASONS[0]);
    const margin = make("input", { name: "margin", placeholder: "none", maxlength: 40, autocomplete: "off" });
    this.corner = new PlaceFields(null, "corner-");
    this.opposite = new PlaceFields(null, "opposite-");
    this.fault = make("p", { class: "fault", role: "alert", hidden: true });
    const form = make("form", { class: "card", novalidate: true },
      make("h2", { text: "Keep cables out of" }),
      make("div", { class: "fields" }, field("name", name, true), field("why", why), field("margin round it", margin),
        make("b", { class: "whole", text: "one corner" }), this.corner.element,
        make("b", { class: "whole", text: "the opposite corner, on the same wall" }), this.opposite.element),
      this.fault,
      make("div", { class: "bar" },
        make("button", { type: "submit", text: "keep out" }),
        make("button", { type: "button", class: "small", text: "point at two corners", onclick: () => this.point() })));
    once(form, async () => {
      const edit = { do: "keep out", name: name.value.trim(), why: why.value, margin: margin.value.trim(),
        corner: this.corner.value(), opposite: this.opposite.value() };
      if (await send(this.bench, edit, this.fault) && name.value.trim() === edit.name) name.value = "";
    });
    return form;
  }

  point() {
    this.bench.point("Point at one corner of what is kept out.", (first) => {
      this.corner.set(first.place);
      this.bench.point(`Now the opposite corner, on the ${first.place.wall}.`, (second) => {
        if (second.place.wall !== first.place.wall) return null;
        this.opposite.set(second.place);
        this.element.querySelector("input[name=name]").focus();
        return false;
      });
      return null;
    });
  }
}

export class Holes {
  constructor(bench) {
    this.bench = bench;
    this.which = make("select", { name: "opening", id: "opening" });
    this.about = make("p", { class: "note" });
    this.size = make("input", { name: "size", placeholder: "as it is", maxlength: 40, autocomplete: "off" });
    this.grommet = make("input", { name: "grommet", placeholder: "as it is", maxlength: 40, autocomplete: "off" });
    this.fault = make("p", { class: "fault", role: "alert", hidden: true });
    this.which.addEventListener("change", () => this.choose(this.which.value));
    const act = (text, state) => make("button", { type: "button", text, onclick: () => this.send(state) });
    this.element = make("div", {}, make("form", { class: "card", novalidate: true, onsubmit: (event) => { event.preventDefault(); this.send("measured"); } },
      make("h2", { text: "An opening" }),
      make("div", { class: "fields" }, field("which: choose here, or pick it in the picture", this.which, true),
        field("bare hole, or width of a slot", this.size), field("clear inside its grommet", this.grommet)),
      this.about, this.fault,
      make("div", { class: "bar" }, act("measured so", "measured"), act("blocked", "blocked"), act("as the van has it", null))));
    this.rings = [];
  }

  show(plan) {
    const chosen = this.which.value;
    this.rings = plan?.scene.rings ?? [];
    const names = this.rings.map((ring) => ring.id).sort((a, b) => a.localeCompare(b, "en", { numeric: true }));
    fill(this.which, names, (name) => name, (name) => make("option", { value: name, text: name }));
    if (names.includes(chosen)) this.which.value = chosen;
    this.tell();
  }

  tell() {
    const ring = this.rings.find((one) => one.id === this.which.value);
    this.about.textContent = ring ? ring.lines.join(" · ") : "";
  }

  choose(id) {
    this.which.value = id;
    this.size.value = "";
    this.grommet.value = "";
    this.fault.hidden = true;
    this.tell();
    this.bench.pickOpening(id);
  }

  send(state) {
    const edit = { do: "opening", name: this.which.value, state };
    if (state === "measured") Object.assign(edit, { size: this.size.value.trim(), grommet: this.grommet.value.trim() });
    return send(this.bench, edit, this.fault);
  }
}
