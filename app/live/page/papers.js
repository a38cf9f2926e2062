// Papers and pictures from a button.

import { make } from "./ask.js";
import { fill } from "./kept.js";

export class Papers {
  constructor(bench) {
    this.bench = bench;
    this.pictures = make("input", { type: "checkbox", checked: true, id: "with-pictures" });
    this.files = make("ul", { class: "files" });
    this.element = make("div", {},
      make("p", { class: "note", text: "Lists, drawings and pictures of the way that is worked on, as files in the folder papers beside the project." }),
      make("div", { class: "bar" },
        make("button", { type: "button", text: "write papers", onclick: () => this.bench.send("/write", { pictures: this.pictures.checked }) }),
        make("label", {}, this.pictures, " and pictures")),
      this.files);
  }

  show(state) {
    fill(this.files, state.written?.files ?? [], (name) => name, (name) => make("li", {},
      make("a", { href: `/papers/${name.split("/").map(encodeURIComponent).join("/")}`, target: "_blank", rel: "noopener", text: name })));
  }
}
