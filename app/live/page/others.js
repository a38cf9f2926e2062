// Two ways side by side, papers and pictures, and the questions that begin a project.

import { choice, field, make } from "./ask.js";

export class Others {
  constructor(bench) {
    this.bench = bench;
    this.element = make("div");
  }

  show(state, plan, other) {
    const names = ["", ...(state.alternatives ?? [])];
    const buttons = names.map((name) => make("button", {
      type: "button", "aria-pressed": String(state.other === name), text: name || "none", onclick: () => this.bench.send("/other", { name }),
    }));
    const parts = [make("p", { class: "note", text: names.length > 1
      ? "Show another way to do it beside the one that is worked on. What is changed here is changed in both."
      : "The project file has no alternatives yet." })];
    if (names.length > 1) parts.push(make("div", { class: "bar", role: "group", "aria-label": "Shown beside it" }, ...buttons));
    if (state.other && other && plan) parts.push(this.figures(state.other, plan, other));
    parts.push(...(state.otherFaults ?? []).map((words) => make("p", { class: "fault", text: words })));
    this.element.replaceChildren(...parts);
  }

  figures(name, plan, other) {
    const rows = plan.totals.map((one) => {
      const there = other.totals.find((two) => two.name === one.name);
      const less = there && there.worth < one.worth ? "less" : there && there.worth > one.worth ? "more" : "the same";
      return make("tr", {}, make("td", { text: one.name }), make("td", { class: "number", "data-label": "here", text: one.text }),
        make("td", { class: "number", "data-label": name, text: there?.text ?? "–" }), make("td", { "data-label": "there", text: less }));
    });
    const head = ["", "here", name, "there it is"].map((text, i) => make("th", { scope: "col", class: i === 1 || i === 2 ? "number" : false, text }));
    return make("div", { class: "panel of-figures" }, make("table", { "aria-label": "Figures side by side" }, make("thead", {}, make("tr", {}, ...head)), make("tbody", {}, ...rows)));
  }
}

export class Papers {
  constructor(bench) {
    this.bench = bench;
    this.pictures = make("input", { type: "checkbox", checked: true, id: "with-pictures" });
    this.files = make("div");
    this.element = make("div", {},
      make("p", { class: "note", text: "Lists, drawings and pictures of what stands here, as files in the folder papers beside the project." }),
      make("div", { class: "bar" },
        make("button", { type: "button", text: "write papers", onclick: () => this.bench.send("/write", { pictures: this.pictures.checked }) }),
        make("label", {}, this.pictures, " and pictures")),
      this.files);
  }

  show(state) {
    const files = state.written?.files ?? [];
    this.files.replaceChildren(make("ul", { class: "files" }, ...files.map((name) => make("li", {},
      make("a", { href: `/papers/${name.split("/").map(encodeURIComponent).join("/")}`, target: "_blank", rel: "noopener", text: name })))));
  }
}

/** The questions that begin a project. */
export function questions(folder, begin) {
  const name = make("input", { name: "name", maxlength: 80, autocomplete: "off", value: folder.split(/[\\/]/).at(-1) });
  const units = choice("units", [["metric", "metres"], ["feet and inches", "feet and inches"]], "metric");
  const preset = choice("preset", [["short-high", "short, high roof"], ["medium-high", "medium length, high roof"], ["long-high", "long, high roof"]], "medium-high");
  const lengths = [["length", "from the datum to the rear sill"], ["waist_width", "width at the waist"], ["roof_edge_height", "height where wall meets roof"]]
    .map(([key, label]) => [key, label, make("input", { name: key, placeholder: "not yet", maxlength: 40, autocomplete: "off" })]);
  const fault = make("p", { class: "fault", role: "alert", hidden: true });
  const form = make("form", { class: "card", novalidate: true },
    make("h2", { text: "A new project" }),
    make("p", { class: "note", text: `It will be in ${folder}. Everything can be changed later; what was not measured is marked as assumed.` }),
    make("div", { class: "fields" }, field("name", name, true), field("lengths in", units), field("the van that comes nearest", preset),
      ...lengths.map(([, label, input]) => field(label, input))),
    fault,
    make("div", { class: "bar" }, make("button", { type: "submit", text: "begin" })));
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const answers = { name: name.value, units: units.value, preset: preset.value };
    for (const [key, , input] of lengths) answers[key] = input.value;
    try {
      await begin(answers);
    } catch (error) {
      fault.textContent = error.message;
      fault.hidden = false;
    }
  });
  return form;
}
