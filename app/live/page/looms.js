// The looms as switches: colour, name, and what is cut for each.

import { make } from "./ask.js";
import { fill } from "./kept.js";

const SVG = "http://www.w3.org/2000/svg";

/** A spot of a loom's colour, with white bands where another loom had the colour first. */
function chip(colour, banded) {
  const found = document.createElementNS(SVG, "svg");
  const rect = (x, width, high, fill) => {
    const mark = document.createElementNS(SVG, "rect");
    for (const [key, value] of Object.entries({ x, y: 1, width, height: 18, rx: high, fill })) mark.setAttribute(key, value);
    return mark;
  };
  found.setAttribute("class", "chip");
  found.setAttribute("viewBox", "0 0 20 20");
  found.setAttribute("aria-hidden", "true");
  found.append(rect(1, 18, 3, colour), ...(banded ? [rect(5, 3, 0, "#ffffff"), rect(12, 3, 0, "#ffffff")] : []));
  return found;
}

export class Looms {
  /** each(act) does something to every picture. */
  constructor(sight) {
    this.sight = sight;
    this.hidden = new Set();
    this.sum = make("p", { class: "note" });
    this.list = make("ul");
    const all = (text, shown) => make("button", { type: "button", class: "small", text, onclick: () => {
      for (const box of this.list.querySelectorAll("input")) if (box.checked !== shown) box.click();
    } });
    this.element = make("div", { class: "legend switches" }, this.sum, make("div", { class: "bar" }, all("all", true), all("none", false)), this.list);
  }

  show(plan) {
    this.sum.textContent = plan.looms.length ? plan.loomsSum : "No cables yet.";
    fill(this.list, plan.looms, (one) => one.loom, (one) => {
      const box = make("input", { type: "checkbox", checked: !this.hidden.has(one.loom), "data-loom": one.loom, onchange: () => this.turn(one.loom, box.checked) });
      return make("li", {}, make("label", {}, box, chip(one.colour, one.banded),
        make("span", {}, make("b", { text: one.title }), make("small", { text: one.about }))));
    });
    for (const loom of this.hidden) this.sight.view?.setLoom(loom, false);
  }

  turn(loom, shown) {
    if (shown) this.hidden.delete(loom);
    else this.hidden.add(loom);
    this.sight.view?.setLoom(loom, shown);
  }
}
