// The fields that say a place: a wall and two measures, filled in by hand or by pointing at the picture.

import { choice, field, make } from "./ask.js";
import { measuresOf } from "./spots.js";

const HINTS = {
  metric: { back: "1.20 m", up: "0.80 m", across: "0.30 m" },
  "feet and inches": { back: "3' 11\"", up: "2' 7 1/2\"", across: "1' 0\"" },
};
let hints = HINTS.metric;

/** From now on fields show how a length is written in these units. */
export function useUnits(units) {
  hints = HINTS[units] ?? HINTS.metric;
}

const WALLS = ["left", "right", "roof", "floor", "bulkhead"];

const MEASURES = ["wall", "back", "up", "left", "right"];

/** A place as one text: what these fields can say of it, or all of one that they cannot say. */
function said(place) {
  return JSON.stringify(place?.wall ? MEASURES.map((key) => place[key] ?? "") : place ?? null);
}

/** Whether two places are the same, as far as these fields can say. */
export const samePlace = (one, other) => said(one) === said(other);

/** Fields for a place; element to put into a form, value() and set(place). */
export class PlaceFields {
  constructor(place, prefix = "") {
    this.prefix = prefix;
    this.element = make("div", { class: "fields whole" });
    this.give(place);
  }

  /** Say a place that nobody typed. */
  give(place) {
    this.given = JSON.stringify(place ?? null);
    this.place = place && place.wall ? { ...place } : { wall: "left" };
    this.odd = place && !place.wall ? place : null;
    this.untouched = said(this.value());
    this.draw();
  }

  /** What the fields say is sent; what is typed from now on is something else. */
  accept() {
    this.untouched = said(this.value());
  }

  /** What was sent is refused: the fields go on saying it, against this place. */
  refuse(place) {
    this.untouched = said(place);
  }

  /** Take over what the place is now, unless somebody is saying another: a place is followed or kept as a whole. */
  follow(place) {
    if (JSON.stringify(place ?? null) === this.given) return;
    if (!this.differs(place)) {
      this.given = JSON.stringify(place);
      this.untouched = said(this.value());
    } else if (said(this.value()) === this.untouched) {
      const name = this.element.contains(document.activeElement) ? document.activeElement.name : "";
      this.give(place);
      if (name) this.element.querySelector(`[name="${name}"]`)?.focus({ preventScroll: true });
    }
  }

  /** Whether the fields say another place than this one. */
  differs(place) {
    return !samePlace(this.value(), place);
  }

  input(name, label, hint) {
    const found = make("input", { name: this.prefix + name, value: this.place[name] ?? "", autocomplete: "off", placeholder: hint, maxlength: 40 });
    found.addEventListener("input", () => { this.place[name] = found.value; this.odd = null; });
    return field(label, found);
  }

  draw() {
    const wall = choice(`${this.prefix}wall`, WALLS.map((one) => [one, one === "left" || one === "right" ? `${one} wall` : one]), this.place.wall);
    wall.addEventListener("change", () => { this.place.wall = wall.value; this.odd = null; this.draw(); this.element.querySelector("select").focus(); });
    const rows = [field("where", wall)];
    const measures = measuresOf(this.place.wall);
    if (measures.includes("back")) rows.push(this.input("back", "back from the datum", hints.back));
    if (measures.includes("up")) rows.push(this.input("up", "height", hints.up));
    if (measures.includes("across")) {
      const side = this.place.right ? "right" : "left";
      const sides = choice(`${this.prefix}side`, [["left", "left of the middle"], ["right", "right of the middle"]], side);
      const far = make("input", { name: `${this.prefix}across`, value: this.place[side] ?? "", autocomplete: "off", placeholder: hints.across, maxlength: 40 });
      const read = () => {
        delete this.place.left;
        delete this.place.right;
        if (far.value.trim()) this.place[sides.value] = far.value;
        this.odd = null;
      };
      sides.addEventListener("change", read);
      far.addEventListener("input", read);
      rows.push(field("off the middle", far), field("to the", sides));
    }
    this.element.replaceChildren(...rows);
  }

  set(place) {
    this.place = { ...place };
    this.odd = null;
    this.draw();
  }

  /** The place as the project file has it. */
  value() {
    if (this.odd) return this.odd;
    const measures = measuresOf(this.place.wall);
    const found = { wall: this.place.wall };
    for (const key of ["back", "up"]) if (measures.includes(key)) found[key] = (this.place[key] ?? "").trim();
    if (measures.includes("across")) {
      for (const key of ["left", "right"]) if ((this.place[key] ?? "").trim()) found[key] = this.place[key].trim();
    }
    return found;
  }
}
