// What the server says around the plan: what can be undone, what is saved, who changed the file, what is at work.

import { make } from "./ask.js";
import { fill } from "./kept.js";

const byId = (id) => document.getElementById(id);
const NOTHING_YET = "There is nothing to plan yet";

/** How far it is: the share of its steps that is done, where they are counted. */
function howFar(one) {
  return `${one.done === null ? "" : `${Math.round(one.done * 100)} % done, `}${Math.round(one.seconds)} s`;
}

export class Told {
  /** send(path, body) asks the server for something. */
  constructor(send) {
    this.send = send;
    this.state = null;
    for (const id of ["undo", "redo", "save"]) byId(id).addEventListener("click", () => send(`/${id}`));
    document.addEventListener("keydown", (event) => this.key(event));
    setInterval(() => this.tick(), 1000);
    // The picture's height is what the lines over it leave.
    new ResizeObserver(() => {
      document.documentElement.style.setProperty("--head", `${byId("head").offsetHeight}px`);
    }).observe(byId("head"));
  }

  show(state) {
    this.state = state;
    for (const id of ["undo", "redo", "save"]) byId(id).hidden = state.missing;
    if (state.missing) {
      byId("about").textContent = `There is no ${state.file} in ${state.folder} yet.${state.said ? ` ${state.said}` : ""}`;
      this.work();
      return;
    }
    this.step("undo", "undo", state.undo);
    this.step("redo", "do again", state.redo);
    byId("save").disabled = !state.unsaved;
    byId("about").textContent = `${state.folder}/${state.file}, ${state.unsaved ? "with changes that are not saved" : "saved"}${state.journal ? ` · ${state.journal}` : ""}`;
    byId("about").title = byId("about").textContent;
    byId("about").classList.toggle("alarming", Boolean(state.journal));
    this.banner();
    this.work();
    this.faults();
  }

  step(id, word, what) {
    byId(id).disabled = !what;
    byId(id).textContent = what ? `${word}: ${what}` : word;
    byId(id).title = what ? byId(id).textContent : "";
  }

  banner() {
    const { state } = this;
    const place = byId("banner");
    place.hidden = !state.disk;
    if (!state.disk || (place.dataset.disk === state.disk && place.firstChild)) return;
    place.dataset.disk = state.disk;
    const words = state.disk === "gone"
      ? `The file ${state.file} is no longer there: it was moved or deleted by somebody else.`
      : `The file ${state.file} was changed by somebody else since it was read. Nothing of theirs is overwritten, and nothing of yours is lost.`;
    const act = (text, path) => make("button", { type: "button", class: "small", text, onclick: () => this.send(path) });
    place.replaceChildren(make("p", { text: words }), make("div", { class: "bar" },
      state.disk === "changed" ? act("take the file as it is now", "/take-disk") : null,
      act("keep what stands here in a file of its own", "/keep-copy")));
  }

  /** What is at work, and what can be done about it: buttons stay while seconds are counted, or a press would be lost. */
  work() {
    const { state } = this;
    const busy = state.busy.map((one) => ({ key: one.what, whose: one.whose }));
    const again = state.halted && !state.busy.length ? [{ key: "/plan-again", text: "plan now" }] : [];
    fill(byId("work"), [...busy, ...again], (one) => one.key, (one) => this.line(one));
    state.busy.forEach((one, i) => {
      const [text, far, bar] = byId("work").children[i].children;
      const words = `${one.whose ? `${one.whose}: ` : ""}${one.words}`;
      text.textContent = words;
      text.title = words;
      far.textContent = howFar(one);
      bar.setAttribute("aria-label", words);
      if (one.done === null) bar.removeAttribute("value");
      else bar.value = one.done;
    });
  }

  line({ key, whose, text }) {
    const button = (name, label, act) => make("button", { type: "button", class: "small", text: name, "aria-label": label, onclick: act });
    if (text) return button(text, null, () => this.send(key));
    const at = { papers: "papers", draft: "the survey" }[key] ?? `planning ${whose}`;
    return make("div", { class: "task" }, make("span", { class: "words" }), make("span", { class: "far" }), make("progress", { max: "1" }),
      button("stop", `stop ${at.trim()}`, () => this.send("/stop", { what: key })));
  }

  tick() {
    if (!this.state?.busy?.length) return;
    for (const one of this.state.busy) one.seconds += 1;
    this.work();
  }

  faults() {
    const { faults } = this.state;
    const onlyBegun = faults.length === 1 && faults[0].startsWith(NOTHING_YET);
    byId("faults").hidden = !faults.length;
    byId("faults").className = onlyBegun ? "pointing" : "warnings";
    const lines = [...(faults.length && !onlyBegun ? ["This cannot be planned as it stands; the picture shows what can be shown."] : []), ...faults];
    fill(byId("faults"), [...new Set(lines)], (words) => words, (words) => make("li", { text: words }));
  }

  key(event) {
    const { state } = this;
    const typing = event.target.matches?.("input, textarea, select");
    if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
    const path = event.key === "s" ? "/save" : typing ? "" : event.key === "z" && !event.shiftKey ? "/undo"
      : event.key === "y" || (event.key === "Z" && event.shiftKey) ? "/redo" : "";
    if (!path) return;
    event.preventDefault();
    if (!state.missing) this.send(path); // what there is to save or undo is known when all before it is answered
  }
}
