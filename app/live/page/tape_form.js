// The tape's lines as fields, each with where to hold the tape.

import { choice, field, make } from "./ask.js";
import { tapeDrawing } from "./tape_drawings.js";

const INCH_M = 0.0254;

/** An example as it is typed: of one length [m], of the readings along a tape, of a small size; words stay as they are. */
function example(hint, units) {
  if (typeof hint === "string") return hint;
  const metric = units === "metric";
  if (hint.small) return metric ? `${Math.round(hint.small * 1000)} mm` : `${(hint.small / INCH_M).toFixed(1)} in`;
  const readings = (Array.isArray(hint) ? hint : [hint]).map((one) => (metric ? one.toFixed(2) : (one / INCH_M).toFixed(1)));
  return `${readings.join(" ")} ${metric ? "m" : "in"}`;
}

const HOLES = { metric: "L2-L7: 25 mm at 420 mm\nR*: as left", "feet and inches": "L2-L7: 1 in at 16 in\nR*: as left" };

/** Each line: key, what it is, where to hold the tape, which example [m]; parts where it has several fields. */
const LINES = [
  ["length", "length", "Hook the tape on the front edge of the cargo floor and pull it to the rear sill.", 3.72],
  ["floor_width", "width at the floor", "Across the bare floor there, skin to skin.", 1.78],
  ["waist_width", "width at the waist", "Across where the walls stand widest apart.", 1.86],
  ["waist_height", "height of the waist", "From the floor up to where the wall turns in.", 1.02],
  ["roof_edge_width", "width where wall meets roof", "Across, from corner to corner under the roof.", 1.62],
  ["roof_edge_height", "height where wall meets roof", "From the floor straight up to that corner.", 1.66],
  ["centre_height", "height under the middle of the roof", "From the floor to the skin of the roof.", 1.93],
  ["ribs_left", "ribs of the left wall", "Tape hooked at the front, read the middle of each rib in turn; one reading after the other.", [0.42, 0.88, 1.36, 1.8]],
  ["ribs_right", "ribs of the right wall", "The same on the right, or write: same as left.", "same as left"],
  ["side_door", "side door", "Its front and its rear edge, from the front edge of the floor.", "", [["side", ["right", "left", "none"]], ["front", "front edge", 0.3], ["rear", "rear edge", 1.55]]],
  ["wheel_arch", "wheel arch", "Its front edge from the front of the floor, how long it is, how high.", "", [["front", "front edge", 2.12], ["length", "how long", 0.98], ["height", "how high", 0.36]]],
  ["rib", "one rib", "How far it stands off the skin, and how wide its face is.", "", [["depth", "depth", { small: 0.055 }], ["face_width", "face", { small: 0.055 }]]],
];

export class TapeForm {
  constructor() {
    this.element = make("div", { class: "tape-lines" });
    this.fields = {};
    this.holes = make("textarea", { name: "holes", rows: 3, maxlength: 4000, spellcheck: "false" });
    this.draw("metric");
  }

  draw(units) {
    const input = (key, hint, label) => {
      const found = this.fields[key] ?? make("input", { name: key, maxlength: 200, autocomplete: "off", "aria-label": label });
      found.setAttribute("placeholder", example(hint, units));
      this.fields[key] = found;
      return found;
    };
    const rows = LINES.map(([key, title, how, hint, parts]) => {
      const inside = parts ? parts.map(([part, label, one]) => {
        if (!Array.isArray(label)) return field(label, input(`${key}.${part}`, one, `${title}: ${label}`));
        this.fields[`${key}.${part}`] ??= choice(`${key}.${part}`, label, label[0]);
        return field(part, this.fields[`${key}.${part}`]);
      }) : [input(key, hint, title)];
      return make("div", { class: "tape-line" }, tapeDrawing(key),
        make("div", {}, make("b", { text: title }), make("p", { class: "note", text: how }), make("div", { class: "fields" }, ...inside)));
    });
    this.holes.setAttribute("placeholder", HOLES[units]);
    this.element.replaceChildren(...rows, field("holes that you know, one row a line: which ribs, how wide, how high (leave empty what you do not know: typical ones are assumed)", this.holes, true));
  }

  /** The lines as answers: text by key, parts by key. */
  value() {
    const found = {};
    for (const [key, , , , parts] of LINES) {
      if (parts) found[key] = Object.fromEntries(parts.map(([part]) => [part, this.fields[`${key}.${part}`].value.trim()]));
      else found[key] = this.fields[key].value.trim();
    }
    return { ...found, holes: this.holes.value };
  }
}
