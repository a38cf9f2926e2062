// Ties the live page together: what the server says goes into picture, lists and lines; what is done here goes to the server.

import { Vector3 } from "./three.js";
import { ask, fetched, make } from "./ask.js";
import { BenchView } from "./bench_view.js";
import { showNames, withRoom } from "./labels.js";
import { tableOf } from "./lists.js";
import { Others, Papers, questions } from "./others.js";
import { placeOf } from "./spots.js";
import { markRow, rowOf, showPanel, useTables } from "./tables.js";
import { useUnits } from "./place_form.js";
import { Things } from "./things.js";
import { Holes, KeepOuts } from "./walls.js";

const byId = (id) => document.getElementById(id);
const canvas = byId("canvas");
const TABLES = [["runs", "Lengths"], ["findings", "Findings"], ["circuits", "Circuits"]];

let state = null;
let plan = null;
let other = null;
let metal = null;
let shown = { plan: 0, other: 0, metal: "", otherMetal: "" };
let pointing = null;
let allNames = false;
let movedAt = 0;
const times = [];

class Bench {
  view = null;
  second = null;

  async edit(edit) {
    movedAt = performance.now();
    take(await this.asked("/edit", { revision: state.revision, edit }));
  }

  async send(path, body = {}) {
    try {
      take(await this.asked(path, { revision: state.revision, ...body }));
    } catch (error) {
      say(error.message);
    }
  }

  async asked(path, body) {
    try {
      return await ask(path, body);
    } catch (error) {
      if (error.state) take(error.state);
      throw error;
    }
  }

  /** Wait for a point on a wall; take(spot) says whether pointing ends (true, false: without or with a move), null to go on. */
  point(words, act) {
    if (!this.view) {
      say("There is no picture to point at: type the place into the fields.");
      return;
    }
    pointing = act;
    byId("pointing").textContent = words;
    byId("pointing").hidden = false;
    canvas.scrollIntoView({ block: "nearest" });
    canvas.focus({ preventScroll: true });
  }

  endPointing() {
    pointing = null;
    byId("pointing").hidden = true;
  }

  pickDevice(id) {
    const device = plan?.scene.devices.find((one) => one.id === id);
    this.view?.pick(device ? device.runs : [], [], device ? [device.id] : []);
  }

  pickOpening(id) {
    const runs = plan ? plan.scene.runs.filter((run) => run.openings.includes(id)).map((run) => run.id) : [];
    this.view?.pick(runs, [id]);
  }

  redraw() {
    if (plan) this.view?.refresh(plan.scene);
  }
}

const bench = new Bench();
const things = new Things(bench);
const keepOuts = new KeepOuts(bench);
const holes = new Holes(bench);
const others = new Others(bench);
const papers = new Papers(bench);
const said = make("p", { class: "note", role: "status" });

function say(words) {
  said.textContent = words;
}

// ---- panels

const panels = [["things", "Things", things.element], ["keep-out", "Keep out", keepOuts.element], ["openings", "Openings", make("div", {}, holes.element, make("div", { "data-table": "openings" }))],
  ...TABLES.map(([id, title]) => [id, title, make("div", { "data-table": id })]),
  ["others", "Side by side", others.element], ["papers", "Papers", papers.element]];
byId("tabs").append(...panels.map(([id, title]) => make("button", {
  type: "button", class: "tab small", "data-panel": id, "aria-pressed": "false", onclick: () => { bench.endPointing(); open(id); },
}, title, make("small", {}))));
byId("panels").append(said, ...panels.map(([id, title, inside]) => make("section", { class: `panel of-${id}`, "data-panel": id, hidden: true, "aria-label": title }, inside)));
showPanel(document, "things");
useTables(byId("panels"), (row, runs, openings) => {
  if (row.classList.contains("picked")) {
    markRow(byId("panels"), null);
    bench.view?.pick([]);
    return;
  }
  markRow(byId("panels"), row);
  if (row.closest('[data-table="openings"]')) holes.choose(row.dataset.id);
  else bench.view?.pick(runs, openings);
});

// ---- what the server says

function take(next) {
  const sameServer = state?.sitting === next.sitting;
  if (sameServer && next.revision < state.revision) return;
  if (state && !sameServer) shown = { ...shown, plan: 0, other: 0 };
  state = next;
  document.title = `${state.unsaved ? "● " : ""}${plan?.name ?? state.file} – ribway`;
  byId("questions").hidden = !state.missing;
  byId("bench").hidden = state.missing;
  for (const id of ["undo", "redo", "save"]) byId(id).hidden = state.missing;
  if (state.missing) {
    byId("about").textContent = `There is no ${state.file} in ${state.folder} yet.`;
    if (!byId("questions").firstChild) byId("questions").append(questions(state.folder, async (answers) => take(await ask("/begin", answers))));
    return;
  }
  byId("undo").disabled = !state.undo;
  byId("undo").textContent = state.undo ? `undo: ${state.undo}` : "undo";
  byId("redo").disabled = !state.redo;
  byId("redo").textContent = state.redo ? `do again: ${state.redo}` : "do again";
  byId("save").disabled = !state.unsaved;
  byId("about").textContent = `${state.folder}/${state.file}, ${state.unsaved ? "with changes that are not saved" : "saved"}${state.journal ? ` · ${state.journal}` : ""}`;
  if (state.said) say(state.said);
  else if (said.textContent && state.unsaved) say("");
  banner();
  work();
  const faults = byId("faults");
  const onlyBegun = state.faults.length === 1 && state.faults[0].startsWith("There is nothing to plan yet");
  faults.hidden = !state.faults.length;
  faults.className = onlyBegun ? "pointing" : "warnings";
  faults.replaceChildren(...(state.faults.length && !onlyBegun ? [make("li", { text: "This cannot be planned as it stands; the picture shows what can be shown." })] : []),
    ...state.faults.map((words) => make("li", { text: words })));
  others.show(state, plan, other);
  papers.show(state);
  if (state.plan !== shown.plan) load();
  if (state.otherPlan !== shown.other || !state.other) loadOther();
}

function banner() {
  const place = byId("banner");
  place.hidden = !state.disk;
  if (!state.disk) return;
  const words = state.disk === "gone"
    ? `The file ${state.file} is no longer there: it was moved or deleted by somebody else.`
    : `The file ${state.file} was changed by somebody else since it was read. Nothing of theirs is overwritten, and nothing of yours is lost.`;
  place.replaceChildren(make("p", { text: words }), make("div", { class: "bar" },
    state.disk === "changed" ? make("button", { type: "button", class: "small", text: "take the file as it is now", onclick: () => bench.send("/take-disk") }) : null,
    make("button", { type: "button", class: "small", text: "keep what stands here in a file of its own", onclick: () => bench.send("/keep-copy") })));
}

function work() {
  byId("work").replaceChildren(...state.busy.flatMap((one) => {
    const usual = one.usual ? `, last time ${one.usual} s` : "";
    return [make("span", { text: `${one.what === "plan" || one.what === "papers" ? "" : `${one.what}: `}${one.words} (${Math.round(one.seconds)} s${usual})` }),
      make("button", { type: "button", class: "small", text: "stop", "aria-label": `stop ${one.what}`, onclick: () => bench.send("/stop", { what: one.what }) })];
  }));
  if (!state.busy.length && state.said.startsWith("Stopped: planning")) {
    byId("work").append(make("button", { type: "button", class: "small", text: "plan now", onclick: () => bench.send("/plan-again") }));
  }
}

setInterval(() => {
  if (!state?.busy?.length) return;
  for (const one of state.busy) one.seconds += 1;
  work();
}, 1000);

let loading = false;
async function load() {
  if (loading) return;
  loading = true;
  try {
    while (state.plan !== shown.plan) {
      const number = state.plan;
      const next = await fetched("/plan");
      if (!next) break;
      if (next.metal !== shown.metal) {
        metal = await fetched(`/metal/${next.metal}`);
        shown.metal = next.metal;
        bench.view = null;
      }
      plan = next;
      shown.plan = number;
      draw();
    }
  } finally {
    loading = false;
  }
}

async function loadOther() {
  shown.other = state.otherPlan;
  const name = state.other;
  const pictures = byId("pictures");
  const room = pictures.classList.contains("two") !== Boolean(name);
  pictures.classList.toggle("two", Boolean(name));
  byId("second").hidden = !name;
  byId("caption").hidden = !name;
  byId("caption").textContent = "here";
  byId("second-caption").textContent = name;
  other = name && state.otherPlan ? await fetched(`/plan?alternative=${encodeURIComponent(name)}`) : null;
  if (other) {
    if (other.metal !== shown.otherMetal || !bench.second) {
      bench.second = makeView(byId("second-canvas"), await fetched(`/metal/${other.metal}`), other.scene, () => {});
      shown.otherMetal = other.metal;
      useCanvas(byId("second-canvas"), () => bench.second);
    } else bench.second.refresh(other.scene);
  }
  if (room) requestAnimationFrame(() => bench.view?.look(bench.view.view.name));
  others.show(state, plan, other);
}

function makeView(on, given, scene, onDrawn) {
  try {
    return new BenchView(on, given, scene, onDrawn);
  } catch {
    byId("no-picture").hidden = false;
    byId("pictures").hidden = true;
    byId("tools").hidden = true;
    return null;
  }
}

function draw() {
  byId("title").textContent = plan.name;
  if (!bench.view && metal && !byId("pictures").hidden) {
    bench.view = makeView(canvas, metal, plan.scene, drawNames);
    byId("thinned").hidden = !metal.thinned;
    byId("thinned").textContent = metal.thinned;
    tools();
  } else if (plan.sceneKey !== shown.scene) bench.view?.refresh(plan.scene);
  shown.scene = plan.sceneKey;
  byId("totals").replaceChildren(...plan.totals.map((one) => make("div", { class: one.name === "Findings" && one.worth >= 1000 ? "bad" : false },
    make("dt", { text: one.name }), make("dd", { text: one.text }))));
  byId("bound").textContent = plan.bound || (plan.scene.runs.length ? "How little copper would do is being reckoned …" : "");
  for (const table of plan.tables) {
    const count = document.querySelector(`.tab[data-panel="${table.id}"] small`);
    if (count) count.textContent = ` ${table.rows.length}`;
  }
  fillTable();
  document.querySelector('.tab[data-panel="things"] small').textContent = ` ${plan.devices.length}`;
  document.querySelector('.tab[data-panel="keep-out"] small').textContent = ` ${plan.keepOuts.length}`;
  useUnits(plan.units);
  things.show(plan);
  keepOuts.show(plan);
  holes.show(plan);
  others.show(state, plan, other);
  if (movedAt && plan.revision === state.revision) {
    const begun = movedAt;
    movedAt = 0;
    requestAnimationFrame(() => requestAnimationFrame(() => times.push(performance.now() - begun)));
  }
}

/** Write the table of the panel that is shown, if it is not of this plan yet; others wait until they are looked at. */
function fillTable() {
  for (const place of document.querySelectorAll(".panel:not([hidden]) [data-table]")) {
    const table = plan?.tables.find((one) => one.id === place.dataset.table);
    if (!table || place.dataset.plan === String(shown.plan)) continue;
    const find = place.querySelector("input.filter")?.value;
    place.replaceChildren(tableOf(table, new Set(plan.changed)));
    place.dataset.plan = String(shown.plan);
    if (!find) continue;
    place.querySelector("input.filter").value = find;
    place.querySelector("input.filter").dispatchEvent(new Event("input", { bubbles: true }));
  }
}

function open(panel) {
  showPanel(document, panel);
  fillTable();
}

// ---- the picture

function tools() {
  const group = (label, ...buttons) => make("div", { class: "bar", role: "group", "aria-label": label }, ...buttons);
  const view = (one) => make("button", { type: "button", class: "small", "aria-pressed": String(one.name === "overview"), text: one.name === "overview" ? "all" : one.name,
    onclick: (event) => {
      for (const button of event.target.parentElement.children) button.setAttribute("aria-pressed", String(button === event.target));
      bench.view.look(one.name);
      bench.second?.look(one.name);
    } });
  const names = make("button", { type: "button", class: "small", "aria-pressed": "false", text: "names", onclick: () => {
    allNames = !allNames;
    names.setAttribute("aria-pressed", String(allNames));
    bench.view.ask();
  } });
  byId("tools").replaceChildren(
    group("Looks at", ...metal.views.map(view)),
    group("Near and far", make("button", { type: "button", class: "small", "aria-label": "nearer", text: "+", onclick: () => bench.view.zoom(0.8) }),
      make("button", { type: "button", class: "small", "aria-label": "farther", text: "−", onclick: () => bench.view.zoom(1.25) }), names));
}

function drawNames() {
  const { view } = bench;
  if (!view) return;
  const wanted = [];
  const add = (text, point, kind) => {
    const spot = view.onScreen(point);
    if (spot) wanted.push({ text, x: spot[0], y: spot[1], kind });
  };
  for (const { mesh, device } of view.devices) if (allNames || view.picked.devices.has(device.id)) add(device.name, mesh.position, "device");
  for (const { middle, ring } of view.rings) if (view.picked.openings.has(ring.id) || (allNames && ring.used && view.view.slab)) add(ring.id, middle, "opening");
  showNames(byId("names"), withRoom(wanted, canvas.clientWidth, canvas.clientHeight));
}

function spotAt(x, y) {
  const found = bench.view?.spotAt(x, y);
  if (!found || !plan) return null;
  return { point: found.point, place: placeOf(found.wall, found.point, plan.datum, plan.units) };
}

function pointedAt(x, y, kind) {
  if (pointing) {
    const spot = spotAt(x, y);
    if (!spot || spot.place.wall === "rear") {
      byId("pointing").textContent = "There is no wall there that things go on: point at a wall, the roof or the floor.";
      return;
    }
    const act = pointing;
    if (act(spot) !== null) bench.endPointing();
    return;
  }
  const what = bench.view.at(x, y, kind);
  if (!what) {
    bench.view.pick([]);
    markRow(byId("panels"), null);
  } else if (what.kind === "device") {
    open("things");
    things.choose(what.id);
  } else if (what.kind === "opening") {
    open("openings");
    holes.choose(what.id);
  } else {
    bench.view.pick([what.id]);
    open("runs");
    const row = rowOf(byId("panels"), "runs", what.id);
    markRow(byId("panels"), row);
    row?.scrollIntoView({ block: "nearest" });
  }
}

function useCanvas(on, view, act) {
  let down = null;
  if (act) {
    on.addEventListener("pointerdown", (event) => { down = [event.offsetX, event.offsetY]; });
    on.addEventListener("pointerup", (event) => {
      const still = down && Math.hypot(event.offsetX - down[0], event.offsetY - down[1]) < (event.pointerType === "mouse" ? 4 : 12);
      if (still && event.button === 0 && view()) act(event.offsetX, event.offsetY, event.pointerType);
      down = null;
    });
  }
  const keys = {
    ArrowLeft: (one) => one.turn(-1, 0), ArrowRight: (one) => one.turn(1, 0), ArrowUp: (one) => one.turn(0, 1),
    ArrowDown: (one) => one.turn(0, -1), "+": (one) => one.zoom(0.8), "=": (one) => one.zoom(0.8), "-": (one) => one.zoom(1.25),
  };
  on.addEventListener("keydown", (event) => {
    if (!Object.hasOwn(keys, event.key) || event.ctrlKey || event.metaKey || event.altKey || !view()) return;
    event.preventDefault();
    keys[event.key](view());
  });
  new ResizeObserver(() => { view()?.fit(); view()?.ask(); }).observe(on);
}

useCanvas(canvas, () => bench.view, pointedAt);
document.addEventListener("keydown", (event) => {
  const typing = event.target.matches?.("input, textarea, select");
  if (event.key === "Escape" && pointing) bench.endPointing();
  if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
  if (event.key === "s") {
    event.preventDefault();
    if (state?.unsaved) bench.send("/save");
  } else if (!typing && event.key === "z" && !event.shiftKey) {
    event.preventDefault();
    if (state?.undo) bench.send("/undo");
  } else if (!typing && (event.key === "y" || (event.key === "Z" && event.shiftKey))) {
    event.preventDefault();
    if (state?.redo) bench.send("/redo");
  }
});
byId("undo").addEventListener("click", () => bench.send("/undo"));
byId("redo").addEventListener("click", () => bench.send("/redo"));
byId("save").addEventListener("click", () => bench.send("/save"));

// ---- the line to the server

const events = new EventSource("/events");
events.onmessage = (event) => take(JSON.parse(event.data));
events.onerror = () => say("The server does not answer: is ribway serve still running? Nothing is lost; this page goes on by itself when it is back.");
events.onopen = () => { if (said.textContent.startsWith("The server does not answer")) say(""); };

// For the console, and for checks of the page.
window.ribwayBench = {
  get state() { return state; },
  get plan() { return plan; },
  get view() { return bench.view; },
  get second() { return bench.second; },
  get shown() { return shown; },
  times,
  spotAt,
  point: (x, y, z) => bench.view.onScreen(new Vector3(x, y, z)),
};
