// Ties the live page together: what the server says goes into picture, lists and lines; what is done here goes to the server.

import { Vector3 } from "./three.js";
import { NO_ANSWER, ask, make } from "./ask.js";
import { Circuits } from "./circuits.js";
import { showFigures } from "./figures.js";
import { Looms } from "./looms.js";
import { Newest } from "./newest.js";
import { Papers } from "./papers.js";
import { Panels } from "./panels.js";
import { useUnits } from "./place_form.js";
import { questions } from "./questions.js";
import { tellIn } from "./readout.js";
import { Requests, listen } from "./requests.js";
import { Sight } from "./sight.js";
import { markRow, rowOf } from "./tables.js";
import { Things } from "./things.js";
import { Told } from "./told.js";
import { Ways, wayName } from "./ways.js";
import { Holes, KeepOuts } from "./walls.js";

const byId = (id) => document.getElementById(id);

let state = null;
let plan = null;
let other = null;
let metalHere = "";
let metalBeside = "";
let picked = null;
let movedAt = 0;
let complaint = "";
const times = [];
const over = new Set();

/** What panels may ask of the page. */
class Bench {
  get revision() {
    return state.revision;
  }

  /** Make an edit in the way that is shown. */
  edit(edit, here = plan?.alternative ?? state.here) {
    const begun = performance.now();
    return requests.inTurn(() => {
      movedAt = begun;
      return requests.now("/edit", { here, edit });
    });
  }

  sheet(asked) {
    return requests.inTurn(() => requests.now("/sheet", asked));
  }

  send(path, body) {
    return requests.send(path, body);
  }

  get view() {
    return sight.view;
  }

  point(words, act) {
    tellIn(byId("readout"), ""); // it would lie over the wall that is pointed at
    if (!sight.point(words, act)) say("There is no picture to point at: type the place into the fields.");
  }

  endPointing() {
    sight.endPointing();
  }

  pickDevice(id) {
    if (id) pick({ kind: "device", id });
    else letGo();
  }

  pickOpening(id) {
    pick({ kind: "opening", id });
  }
}

const sight = new Sight(pointedAt, pointedAtBeside);
const requests = new Requests(() => state, take, say, settle);
const bench = new Bench();
const told = new Told((path, body) => bench.send(path, body));
const things = new Things(bench);
const keepOuts = new KeepOuts(bench);
const holes = new Holes(bench);
const looms = new Looms(sight);
const circuits = new Circuits(bench);
const ways = new Ways(bench);
const papers = new Papers(bench);
const said = make("p", { class: "note said", role: "status" });
byId("panels").append(said);
const table = (id) => make("div", { "data-table": id });
const panels = new Panels([["things", "Things", things.element], ["keep-out", "Keep out", keepOuts.element],
  ["openings", "Openings", make("div", {}, holes.element, table("openings"))], ["runs", "Lengths", table("runs")],
  ["looms", "Looms", looms.element], ["findings", "Findings", table("findings")], ["circuits", "Circuits", make("div", {}, circuits.element, table("circuits"))],
  ["ways", "Ways", ways.element], ["papers", "Papers", papers.element]], pickedRow);
byId("tabs").addEventListener("click", () => sight.endPointing());

/** Say what went wrong here; it stays until something else is done, whatever the server says meanwhile. */
function say(words) {
  complaint = words;
  const told = complaint || state?.said || "";
  if (said.textContent !== told) said.textContent = told;
}

// ---- picking

function letGo() {
  if (byId("readout").contains(document.activeElement)) byId("canvas").focus({ preventScroll: true }); // its button goes with it
  picked = null;
  sight.each((view) => view.pick([]));
  markRow(byId("panels"), null);
  tellIn(byId("readout"), "");
}

/** Let something stand out in a picture: {title, lines} of it as its plan has it; null, and nothing stands out, if it has no such thing. */
function standOut(view, scene, { kind, id }) {
  const one = scene && { device: scene.devices, opening: scene.rings, run: scene.runs }[kind].find((thing) => thing.id === id);
  if (!one) {
    view?.pick([]);
    return null;
  }
  const runs = kind === "run" ? [id] : kind === "device" ? one.runs : scene.runs.filter((run) => run.openings.includes(id)).map((run) => run.id);
  view?.pick(runs, kind === "opening" ? [id] : [], kind === "device" ? [id] : []);
  return { title: one.title, lines: kind === "run" ? one.lines : [...one.lines, `runs: ${runs.join(", ") || "none"}`] };
}

/** Let something of the plan, or of the one beside it, stand out in both and say what it is; act: a button that leads to its form or row. */
function pick(what, act = null) {
  const here = standOut(sight.view, plan?.scene, what);
  const there = standOut(sight.second, sight.second ? other?.scene : null, what);
  const one = what.beside ? there : here;
  if (!one) {
    letGo();
    return;
  }
  picked = { ...what, act };
  const title = what.beside ? `${wayName(state.other)} – ${one.title}` : one.title;
  if (!sight.pointing) tellIn(byId("readout"), title, one.lines, [["let go", letGo], ...(act ? [act] : [])]);
}

/** Something in the picture beside was pressed: what it is there is said; it is worked on in the first one alone. */
function pointedAtBeside(what) {
  if (what) pick({ ...what, beside: true });
  else letGo();
}

function pickedRow(row, runs, openings) {
  if (row.classList.contains("picked")) {
    letGo();
    return;
  }
  if (row.closest('[data-table="openings"]')) holes.choose(row.dataset.id);
  else if (runs.length === 1 && !openings.length) pick({ kind: "run", id: runs[0] });
  else {
    picked = null;
    tellIn(byId("readout"), "");
    sight.view?.pick(runs, openings);
  }
  if (row.closest('[data-table="circuits"]')) circuits.choose(row.dataset.id);
  markRow(byId("panels"), row);
}

/** Something in the picture was pressed. On a narrow screen the page stays where the thumb is; a button leads on. */
function pointedAt(what, narrow) {
  if (!what) {
    letGo();
    return;
  }
  const go = {
    device: () => { panels.open("things"); things.choose(what.id); },
    opening: () => { panels.open("openings"); holes.choose(what.id); },
    run: () => {
      panels.open("runs");
      const row = rowOf(byId("panels"), "runs", what.id);
      markRow(byId("panels"), row);
      row?.scrollIntoView({ block: "nearest" });
    },
  }[what.kind];
  const word = { device: "change it", opening: "measure or block it", run: "its lengths" }[what.kind];
  if (!narrow) go();
  pick(what, narrow ? [word, go] : null);
}

// ---- what the server says

function take(next) {
  const sameServer = state?.sitting === next.sitting;
  if (over.has(next.sitting) || (sameServer && next.count < state.count)) return; // an answer that what came by itself has overtaken
  if (state && !sameServer) over.add(state.sitting);
  state = next;
  entitle();
  byId("questions").hidden = !state.missing;
  byId("bench").hidden = state.missing;
  told.show(state);
  if (state.missing) {
    if (!byId("questions").firstChild) byId("questions").append(questions(state, async (answers) => take(await ask("/begin", answers))));
    return;
  }
  say(complaint);
  ways.show(state, plan, other);
  papers.show(state);
  settle();
  here.follow();
  beside.follow();
}

function entitle() {
  document.title = `${state.unsaved ? "● " : ""}${plan?.name ?? state.file} – ribway`;
}

/** What was put somewhere at once stands where its plan says, when all that was asked for is answered and planned. */
function settle() {
  if (plan && !requests.pending && (plan.revision >= state.revision || !state.busy.length)) sight.settle(plan);
}

const here = new Newest(
  () => (state.plan ? { number: [state.sitting, state.here, state.plan].join("\n"), name: state.here, known: metalHere } : null),
  (next, metal) => {
    plan = next;
    metalHere = plan.metal;
    draw(metal);
  },
);
const beside = new Newest(
  () => ({
    number: state.other === null ? "" : [state.sitting, state.other, state.otherPlan].join("\n"),
    name: state.otherPlan ? state.other : null,
    known: sight.second ? metalBeside : "",
  }),
  (next, metal) => {
    other = next;
    metalBeside = other?.metal ?? "";
    sight.showSecond(other, metal, wayName(state.here), wayName(state.other ?? ""));
    if (picked?.beside && !other) letGo();
    else if (picked) pick(picked, picked.act);
    ways.show(state, plan, other);
  },
);

function draw(metal) {
  byId("title").textContent = state.here ? `${plan.name} – ${state.here}` : plan.name;
  entitle();
  useUnits(plan.units);
  sight.show(plan, metal);
  settle();
  showFigures(plan);
  panels.show(plan, here.shown, [...plan.tables.map((one) => [one.id, one.rows.length]), ["things", plan.devices.length],
    ["keep-out", plan.keepOuts.length], ["looms", plan.looms.filter((one) => one.loom).length]]);
  const whose = `${state.sitting}\n${plan.alternative}`;
  for (const part of [things, keepOuts, holes, looms, circuits]) part.show(plan, whose);
  ways.show(state, plan, other);
  if (picked) pick(picked, picked.act);
  if (movedAt && plan.revision >= state.revision) {
    const begun = movedAt;
    movedAt = 0;
    requestAnimationFrame(() => requestAnimationFrame(() => times.push(performance.now() - begun)));
  }
}

// ---- the line to the server

listen(take, say, () => { if (complaint === NO_ANSWER) say(""); });

// For the console, and for checks of the page.
window.ribwayBench = {
  get state() { return state; },
  get plan() { return plan; },
  get other() { return other; },
  get view() { return sight.view; },
  get second() { return sight.second; },
  get shown() { return { plan: here.shown, other: beside.shown }; },
  times,
  spotAt: (x, y) => sight.spotAt(x, y),
  point: (x, y, z) => sight.view.onScreen(new Vector3(x, y, z)),
};
