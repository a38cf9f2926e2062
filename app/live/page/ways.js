// Ways to do the job: the base and its alternatives. One is worked on, another may stand beside it.

import { field, make, once } from "./ask.js";
import { differencesOf } from "./differences.js";
import { fill } from "./kept.js";

/** What a way is called; the base has no name of its own. */
export const wayName = (name) => name || "the base";

export class Ways {
  constructor(bench) {
    this.bench = bench;
    this.list = make("ul", { class: "ways", "aria-label": "Ways to do it" });
    this.compared = make("div");
    this.wrong = make("div");
    this.element = make("div", {},
      make("p", { class: "note", text: "What is changed in the base is changed in all ways that do not say otherwise. What is changed in another way stays in it." }),
      this.list, this.wrong, this.compared, this.form());
  }

  show(state, plan, other) {
    this.state = state;
    const all = [{ name: "", why: "" }, ...(state.alternatives ?? [])];
    fill(this.list, all.map((one) => ({ ...one, here: state.here, other: state.other })), (one) => one.name, (one) => this.line(one));
    fill(this.wrong, [...new Set(state.otherFaults ?? [])], (words) => words, (words) => make("p", { class: "fault", text: words }));
    this.compared.replaceChildren(...(state.other !== null && plan && other ? differencesOf(wayName(state.here), wayName(state.other), plan, other) : []));
  }

  line({ name, why }) {
    const { here, other } = this.state;
    const press = (text, pressed, act) => make("button", { type: "button", class: "small", "aria-pressed": pressed === null ? false : String(pressed), "aria-label": `${text}: ${wayName(name)}`, text, onclick: act });
    const open = (to) => this.bench.send("/ways", { here, beside: other, ...to });
    return make("li", { class: name === here ? "here" : false },
      make("b", { text: wayName(name) }), make("small", { text: why }),
      make("div", { class: "bar" },
        press("work on it", name === here, () => open({ here: name, beside: other === name ? here : other })),
        name === here ? null : press("show it beside", name === other, () => open({ beside: name === other ? null : name })),
        name && name === here ? press("take it out", null, () => this.send({ do: "take out alternative", name })) : null));
  }

  form() {
    const name = make("input", { name: "way", maxlength: 60, autocomplete: "off" });
    const why = make("input", { name: "why", maxlength: 200, autocomplete: "off" });
    this.fault = make("p", { class: "fault", role: "alert", hidden: true });
    const form = make("form", { class: "card", novalidate: true },
      make("h2", { text: "Another way" }),
      make("div", { class: "fields" }, field("what to call it", name), field("why", why)), this.fault,
      make("div", { class: "bar" }, make("button", { type: "submit", text: "begin it" })));
    once(form, async () => {
      const edit = { do: "add alternative", name: name.value.trim(), why: why.value.trim() };
      if (!await this.send(edit)) return;
      for (const [input, sent] of [[name, edit.name], [why, edit.why]]) if (input.value.trim() === sent) input.value = "";
    });
    return form;
  }

  async send(edit) {
    try {
      await this.bench.edit(edit, this.state.here);
      this.fault.hidden = true;
      return true;
    } catch (error) {
      this.fault.textContent = error.message;
      this.fault.hidden = false;
      return false;
    }
  }
}
