// The questions that begin a project: where the shell comes from, and what is known of it.

import { choice, field, make } from "./ask.js";
import { TapeForm } from "./tape_form.js";

const LENGTHS = [["length", "from the datum to the rear sill"], ["waist_width", "width at the waist"], ["roof_edge_height", "height where wall meets roof"]];

/** A form; begin(answers) is asked to make the project, and throws in words what cannot be used. */
export function questions(state, begin) {
  const { folder } = state;
  const name = make("input", { name: "name", maxlength: 80, autocomplete: "off", value: folder.split(/[\\/]/).at(-1) });
  const units = choice("units", [["metric", "metres"], ["feet and inches", "feet and inches"]], "metric");
  const preset = choice("preset", [["short-high", "short, high roof"], ["medium-high", "medium length, high roof"], ["long-high", "long, high roof"]], "medium-high");
  const lengths = LENGTHS.map(([key, label]) => [label, make("input", { name: key, placeholder: "not yet", maxlength: 40, autocomplete: "off" })]);
  const tape = new TapeForm();
  units.addEventListener("change", () => tape.draw(units.value));
  const mesh = choice("mesh", state.meshes ?? [], state.meshes?.[0]);
  const ways = {
    preset: ["a usual van", make("div", { class: "fields" }, field("the van that comes nearest", preset), ...lengths.map(([label, input]) => field(label, input)))],
    tape: ["my tape: twelve lines, a quarter of an hour", tape.element],
    mesh: ["a mesh or scan in this folder", (state.meshes ?? []).length
      ? make("div", { class: "fields" }, field("which file", mesh, true))
      : make("p", { class: "note", text: `There is none in ${folder}: put a GLB, OBJ, PLY, STL, 3MF or OFF file there and load this page again.` })],
  };
  const parts = Object.fromEntries(Object.entries(ways).map(([key, [, inside]]) => [key, make("div", { hidden: key !== "preset" }, inside)]));
  const from = make("fieldset", { class: "from" }, make("legend", { text: "The shell comes from" }),
    ...Object.entries(ways).map(([key, [words]]) => make("label", {}, make("input", { type: "radio", name: "from", value: key, checked: key === "preset",
      onchange: () => { for (const [other, part] of Object.entries(parts)) part.hidden = other !== key; } }), make("span", { text: words }))));
  const fault = make("p", { class: "fault", role: "alert", hidden: true });
  const submit = make("button", { type: "submit", text: "begin" });
  const form = make("form", { class: "card", novalidate: true },
    make("h2", { text: "A new project" }),
    make("p", { class: "note", text: `It will be in ${folder}. Everything can be changed later; what was not measured is marked as assumed.` }),
    make("div", { class: "fields" }, field("name", name, true), field("lengths in", units)),
    from, ...Object.values(parts), fault, make("div", { class: "bar" }, submit));
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const answers = { name: name.value, units: units.value, from: form.elements.from.value, preset: preset.value };
    LENGTHS.forEach(([key], i) => { answers[key] = lengths[i][1].value; });
    if (answers.from === "tape") answers.tape = tape.value();
    if (answers.from === "mesh") answers.mesh = mesh.value;
    fault.hidden = true;
    submit.disabled = true;
    try {
      await begin(answers);
    } catch (error) {
      fault.textContent = error.message;
      fault.hidden = false;
      fault.scrollIntoView({ block: "nearest" });
    } finally {
      submit.disabled = false;
    }
  });
  return form;
}
