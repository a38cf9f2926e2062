// Ties the page together: picture, legend, tables, notes.

import { Vector3 } from "./three.js";
import { readData } from "./data.js";
import { VanView } from "./scene.js";
import { showNames, withRoom } from "./labels.js";
import { tellIn, useWayUp } from "./readout.js";
import { markRow, rowOf, showPanel, useTables } from "./tables.js";
import { Notes, fileName, saveFile } from "./notes.js";

const data = readData();
const byId = (id) => document.getElementById(id);
const canvas = byId("canvas");
const readout = byId("readout");
const sections = [...document.querySelectorAll("section.plan")];
const legends = [...document.querySelectorAll("details.legend")];
const narrow = window.matchMedia("(max-width: 760px)");
let current = 0;
let allNames = false;
let picked = null;
let offerWayUp = () => {};

function makeView() {
  try {
    return new VanView(canvas, data, () => drawNames());
  } catch {
    byId("no-picture").hidden = false;
    byId("picture").hidden = true;
    byId("tools").hidden = true;
    document.documentElement.classList.add("flat");
    return null;
  }
}

const notes = data.plans.map((plan) => new Notes(plan, (text) => { byId("notes-state").textContent = text; }));
const view = makeView();
document.documentElement.classList.add("live");

/** Names to show: of what is picked, and of all devices if wanted. */
function drawNames() {
  const { clientWidth: wide, clientHeight: high } = canvas;
  const wanted = [];
  const add = (text, point, kind) => {
    const spot = view.onScreen(point);
    if (spot) wanted.push({ text, x: spot[0], y: spot[1], kind });
  };
  const ends = new Set(view.plan.runs.filter((run) => view.picked.runs.has(run.id)).flatMap((run) => run.ends));
  const few = view.picked.runs.size <= 3;
  for (const { place, device } of view.devices) {
    if (view.picked.devices.has(device.id) || (few && ends.has(device.id))) add(device.name, new Vector3().fromArray(place), "device");
  }
  const through = few
    ? new Set(view.plan.runs.filter((run) => view.picked.runs.has(run.id)).flatMap((run) => run.openings))
    : new Set();
  for (const { middle, ring } of view.rings) {
    if (view.picked.openings.has(ring.id) || through.has(ring.id)) add(ring.id, middle, "opening");
  }
  if (allNames) {
    for (const { place, device } of view.devices) add(device.name, new Vector3().fromArray(place), "device");
    for (const { middle, ring } of view.rings) if (ring.used && view.view.slab) add(ring.id, middle, "opening");
  }
  const once = wanted.filter((one, i) => wanted.findIndex((two) => two.text === one.text && two.x === one.x) === i);
  showNames(byId("names"), withRoom(once, wide, high));
}

/** Say what is picked, over the picture. */
function tell(title, lines, find) {
  tellIn(readout, title, lines, [["let go", letGo], ...(find ? [["find in table", find]] : [])]);
  offerWayUp();
}

function letGo() {
  if (readout.contains(document.activeElement)) canvas.focus({ preventScroll: true }); // its button goes with it
  picked = null;
  view?.pick([]);
  markRow(sections[current], null);
  tell("");
}

function into(row) {
  row.scrollIntoView({ block: "center", behavior: "auto" });
}

/** Something in the picture was pointed at. */
function pickedInPicture(what) {
  if (!what) {
    letGo();
    return;
  }
  const { plan } = view;
  const section = sections[current];
  picked = what;
  if (what.kind === "device") {
    const device = plan.devices.find((one) => one.id === what.id);
    view.pick(device.runs, [], [device.id]);
    markRow(section, null);
    tell(device.title, [...device.lines, `runs: ${device.runs.join(", ") || "none"}`]);
    return;
  }
  const isRun = what.kind === "run";
  const one = (isRun ? plan.runs : plan.rings).find((thing) => thing.id === what.id);
  const runs = isRun ? [one.id] : plan.runs.filter((run) => run.openings.includes(one.id)).map((run) => run.id);
  view.pick(runs, isRun ? [] : [one.id]);
  const panel = isRun ? "runs" : "openings";
  const row = rowOf(section, panel, one.id);
  const find = row && (() => {
    showPanel(section, panel);
    into(row);
    row.querySelector("button.pick")?.focus({ preventScroll: true });
  });
  markRow(section, row);
  if (row) showPanel(section, panel);
  // On a phone the page stays where the thumb is; there is a button to go to the row.
  if (row && !narrow.matches) into(row);
  const more = isRun ? [] : [`runs: ${runs.join(", ") || "none"}`];
  tell(one.title, [...one.lines, ...more], find);
}

/** How much of the stage scrolls away, and how far down the tables' heads stay. */
function usePinning() {
  const stage = byId("stage");
  const measure = () => {
    const tools = byId("tools").hidden ? 0 : byId("tools").offsetHeight;
    const stays = getComputedStyle(stage).position === "sticky" ? stage.offsetHeight - tools : 0;
    document.documentElement.style.setProperty("--tools", `${tools}px`);
    document.documentElement.style.setProperty("--pinned", `${stays}px`);
  };
  new ResizeObserver(measure).observe(stage);
  measure();
}

/** A row of a table was picked. */
function pickedInTable(row, runs, openings) {
  const section = sections[current];
  if (row.classList.contains("picked")) {
    letGo();
    return;
  }
  markRow(section, row);
  picked = { kind: "row", id: row.dataset.id };
  if (!view || (!runs.length && !openings.length)) {
    view?.pick([]);
    tell("");
    return;
  }
  view.pick(runs, openings);
  const one = runs.length === 1 ? view.plan.runs.find((run) => run.id === runs[0]) : null;
  if (one) tell(one.title, one.lines);
  else tell(row.cells[0].textContent, [`runs: ${runs.join(", ") || "none"}`]);
}

function show(number) {
  letGo();
  current = number;
  for (const part of document.querySelectorAll("[data-plan]")) part.hidden = Number(part.dataset.plan) !== number;
  for (const button of document.querySelectorAll("[data-show]")) {
    button.setAttribute("aria-pressed", String(Number(button.dataset.show) === number));
  }
  for (const box of legends[number].querySelectorAll("[data-loom]")) box.checked = true;
  view?.load(number);
}

function press(button, group) {
  for (const other of document.querySelectorAll(group)) other.setAttribute("aria-pressed", String(other === button));
}

const presses = {
  view: (button) => { press(button, "[data-view]"); view.look(button.dataset.view); },
  zoom: (button) => view.zoom(Number(button.dataset.zoom)),
  wall: (button) => {
    const shown = button.getAttribute("aria-pressed") !== "true";
    button.setAttribute("aria-pressed", String(shown));
    view.setWall(button.dataset.wall, shown);
  },
  names: (button) => {
    allNames = !allNames;
    button.setAttribute("aria-pressed", String(allNames));
    view.ask();
  },
  show: (button) => show(Number(button.dataset.show)),
  looms: (button) => {
    for (const box of legends[current].querySelectorAll("[data-loom]")) {
      box.checked = button.dataset.looms === "on";
      view?.setLoom(box.dataset.loom, box.checked);
    }
  },
  panel: (button) => showPanel(sections[current], button.dataset.panel),
  export: (button) => {
    const kind = button.dataset.export;
    saveFile(fileName(data.plans[current], kind), notes[current].text(kind), kind === "csv" ? "text/csv" : "application/json");
  },
  print: () => window.print(),
};

document.addEventListener("click", (event) => {
  const button = event.target.closest("button");
  const name = button && Object.keys(presses).find((key) => button.dataset[key] !== undefined);
  if (name) presses[name](button);
});

document.addEventListener("change", (event) => {
  if (event.target.matches("[data-loom]")) view?.setLoom(event.target.dataset.loom, event.target.checked);
});

document.addEventListener("keydown", (event) => {
  if (event.key === "Escape" && !event.target.matches("input, select, textarea")) letGo();
});

function usePicture() {
  let down = null;
  canvas.addEventListener("pointerdown", (event) => { down = [event.offsetX, event.offsetY]; });
  canvas.addEventListener("pointerup", (event) => {
    // A finger in a glove is not still: a short drag is a tap all the same.
    const still = down && Math.hypot(event.offsetX - down[0], event.offsetY - down[1]) < (event.pointerType === "mouse" ? 4 : 12);
    if (still && event.button === 0) pickedInPicture(view.at(event.offsetX, event.offsetY, event.pointerType));
    down = null;
  });
  const keys = {
    ArrowLeft: () => view.turn(-1, 0), ArrowRight: () => view.turn(1, 0), ArrowUp: () => view.turn(0, 1),
    ArrowDown: () => view.turn(0, -1), "+": () => view.zoom(0.8), "=": () => view.zoom(0.8), "-": () => view.zoom(1.25),
  };
  canvas.addEventListener("keydown", (event) => {
    if (!Object.hasOwn(keys, event.key) || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    keys[event.key]();
  });
  new ResizeObserver(() => { view.fit(); view.ask(); }).observe(canvas);
}

window.addEventListener("beforeprint", () => {
  document.querySelectorAll("details").forEach((part) => { part.open = true; });
  if (view) byId("print-picture").src = view.image();
});

sections.forEach((section, number) => {
  useTables(section, pickedInTable);
  notes[number].fill(section);
  showPanel(section, "runs");
});
usePinning();
if (narrow.matches) legends.forEach((legend) => { legend.open = false; });
if (view) {
  usePicture();
  offerWayUp = useWayUp(byId("to-picture"), byId("picture"), canvas, () => narrow.matches && !readout.hidden);
  show(0);
}

// For the console, and for checks of the page.
window.ribwayPage = {
  get view() { return view; },
  get picked() { return picked; },
  visibleRuns: () => (view ? view.runs.filter((one) => one.mesh.visible).map((one) => one.run.id) : []),
  runOnScreen: (id) => view.lineOnScreen(id),
  at: (x, y) => view.at(x, y),
  point: (x, y, z) => view.onScreen(new Vector3(x, y, z)),
};
