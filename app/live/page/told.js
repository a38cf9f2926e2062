// What the server says around the plan: what can be undone, what is saved, who changed the file, what is at work.

import { make } from "./ask.js";

const byId = (id) => document.getElementById(id);
const NOTHING_YET = "There is nothing to plan yet";

const MOST_GUESSED = 0.95;

/** The share done: of its steps where they are counted, else about, by how long it took the last time; null if neither is known. */
function share(one) {
  if (one.done !== null) return one.done;
  return one.usual ? Math.min(MOST_GUESSED, one.seconds / one.usual) : null;
}

function howFar(one) {
  const part = share(one);
  const percent = part === null ? "" : `${one.done === null ? "about " : ""}${Math.round(part * 100)} % done, `;
  return `${percent}${Math.round(one.seconds)} s`;
}

function bar(one, words) {
  const part = share(one);
  return make("progress", { max: "1", value: part === null ? false : String(part), "aria-label": words });
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
    this.banner();
    this.work();
    this.faults();
  }

  step(id, word, what) {
    byId(id).disabled = !what;
    byId(id).textContent = what ? `${word}: ${what}` : word;
  }

  banner() {
    const { state } = this;
    const place = byId("banner");
    place.hidden = !state.disk;
    if (!state.disk) return;
    const words = state.disk === "gone"
      ? `The file ${state.file} is no longer there: it was moved or deleted by somebody else.`
      : `The file ${state.file} was changed by somebody else since it was read. Nothing of theirs is overwritten, and nothing of yours is lost.`;
    const act = (text, path) => make("button", { type: "button", class: "small", text, onclick: () => this.send(path) });
    place.replaceChildren(make("p", { text: words }), make("div", { class: "bar" },
      state.disk === "changed" ? act("take the file as it is now", "/take-disk") : null,
      act("keep what stands here in a file of its own", "/keep-copy")));
  }

  work() {
    const { state } = this;
    byId("work").replaceChildren(...state.busy.flatMap((one) => {
      const words = `${one.whose ? `${one.whose}: ` : ""}${one.words}`;
      const whose = one.what === "papers" ? "papers" : one.what === "draft" ? "the survey" : `planning ${one.whose}`;
      return [make("span", { text: `${words} (${howFar(one)})` }), bar(one, words),
        make("button", { type: "button", class: "small", text: "stop", "aria-label": `stop ${whose.trim()}`, onclick: () => this.send("/stop", { what: one.what }) })];
    }));
    if (state.sheet) byId("work").append(make("button", { type: "button", class: "small", text: `take back: ${state.sheet}`, onclick: () => this.send("/sheet-back") }));
    if (!state.busy.length && state.said.startsWith("Stopped: planning")) {
      byId("work").append(make("button", { type: "button", class: "small", text: "plan now", onclick: () => this.send("/plan-again") }));
    }
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
    byId("faults").replaceChildren(
      ...(faults.length && !onlyBegun ? [make("li", { text: "This cannot be planned as it stands; the picture shows what can be shown." })] : []),
      ...faults.map((words) => make("li", { text: words })));
  }

  key(event) {
    const { state } = this;
    const typing = event.target.matches?.("input, textarea, select");
    if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
    if (event.key === "s") {
      event.preventDefault();
      if (state?.unsaved) this.send("/save");
    } else if (!typing && event.key === "z" && !event.shiftKey) {
      event.preventDefault();
      if (state?.undo) this.send("/undo");
    } else if (!typing && (event.key === "y" || (event.key === "Z" && event.shiftKey))) {
      event.preventDefault();
      if (state?.redo) this.send("/redo");
    }
  }
}
