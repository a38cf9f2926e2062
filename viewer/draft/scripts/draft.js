// Ties the page of a draft together: picture, list of openings, answers.

import { readData } from "./data.js";
import { DraftView } from "./draft_view.js";
import { answersText, sayOf, wrong } from "./draft_answers.js";
import { showNames, withRoom } from "./labels.js";
import { markRow, rowOf, showPanel, useTables } from "./tables.js";
import { Notes, saveFile } from "./notes.js";

const data = readData();
const byId = (id) => document.getElementById(id);
const canvas = byId("canvas");
const readout = byId("readout");
const section = document.querySelector("section.plan");
const holes = new Map(data.holes.map((hole) => [hole.id, hole]));
let picked = null;

const notes = new Notes(data.draft, (text) => { byId("notes-state").textContent = text; });

function makeView() {
  try {
    return new DraftView(canvas, data, () => drawNames());
  } catch {
    byId("no-picture").hidden = false;
    byId("picture").hidden = true;
    byId("tools").hidden = true;
    document.documentElement.classList.add("flat");
    return null;
  }
}

const view = makeView();
document.documentElement.classList.add("live");

function drawNames() {
  const wanted = [];
  for (const { middle, ring } of view.rings) {
    if (!view.view.slab && ring.id !== picked) continue;
    const spot = view.onScreen(middle);
    if (spot) wanted.push({ text: ring.id, x: spot[0], y: spot[1], kind: "opening" });
  }
  wanted.sort((a, b) => (b.text === picked) - (a.text === picked));
  showNames(byId("names"), withRoom(wanted, canvas.clientWidth, canvas.clientHeight));
}

function tell(hole) {
  readout.replaceChildren();
  readout.hidden = !hole;
  if (!hole) return;
  const head = document.createElement("b");
  head.textContent = hole.title;
  readout.append(head, ...hole.lines.map((line) => {
    const part = document.createElement("span");
    part.textContent = line;
    return part;
  }));
}

function pick(id, scroll) {
  picked = id && holes.has(id) ? id : null;
  const row = picked ? rowOf(section, "openings", picked) : null;
  markRow(section, row);
  view?.pick([], picked ? [picked] : []);
  tell(picked ? holes.get(picked) : null);
  if (row && scroll) row.scrollIntoView({ block: "center" });
}

/** Mark typed values that cannot be taken, and say how many there are. */
function check() {
  let bad = 0;
  for (const field of section.querySelectorAll("input[data-what]")) {
    const why = field.type === "checkbox" ? "" : wrong(field.dataset.what, field.value);
    field.setCustomValidity(why);
    field.title = why;
    field.setAttribute("aria-invalid", String(why !== ""));
    if (why) bad += 1;
  }
  const said = [...holes.values()].map((hole) => sayOf(hole, notes.values));
  const count = (mark) => said.filter((one) => one === mark).length;
  byId("sums").textContent = `${count("open")} to look at, ${count("confirmed")} confirmed, ${count("deleted")} deleted`;
  byId("bad").textContent = bad ? `${bad} typed ${bad === 1 ? "value" : "values"} cannot be taken: look for the red fields.` : "";
  byId("save").disabled = bad > 0;
}

section.addEventListener("change", (event) => {
  const field = event.target.closest("input[data-what]");
  if (!field) return;
  const hole = holes.get(field.dataset.hole);
  if (field.type === "checkbox" && field.checked) {
    const other = field.dataset.what === "confirm" ? "delete" : "confirm";
    const box = field.closest("tr").querySelector(`input[data-what="${other}"]`);
    if (box.checked) {
      box.checked = false;
      notes.set(box.dataset.note, false);
    }
  }
  view?.change(hole, sayOf(hole, notes.values));
  check();
});
section.addEventListener("input", check);

const presses = {
  view: (button) => {
    for (const other of document.querySelectorAll("[data-view]")) other.setAttribute("aria-pressed", String(other === button));
    view.look(button.dataset.view);
  },
  zoom: (button) => view.zoom(Number(button.dataset.zoom)),
  wall: (button) => {
    const shown = button.getAttribute("aria-pressed") !== "true";
    button.setAttribute("aria-pressed", String(shown));
    view.setWall(button.dataset.wall, shown);
  },
  answers: () => saveFile(data.draft.file, answersText(data.draft.name, data.holes, notes.values), "application/json"),
};

document.addEventListener("click", (event) => {
  const button = event.target.closest("button");
  const name = button && Object.keys(presses).find((key) => button.dataset[key] !== undefined);
  if (name) presses[name](button);
});

function usePicture() {
  let down = null;
  canvas.addEventListener("pointerdown", (event) => { down = [event.offsetX, event.offsetY]; });
  canvas.addEventListener("pointerup", (event) => {
    const still = down && Math.hypot(event.offsetX - down[0], event.offsetY - down[1]) < (event.pointerType === "mouse" ? 4 : 12);
    if (still && event.button === 0) pick(view.at(event.offsetX, event.offsetY, event.pointerType)?.id, true);
    down = null;
  });
  const keys = {
    ArrowLeft: () => view.turn(-1, 0), ArrowRight: () => view.turn(1, 0), ArrowUp: () => view.turn(0, 1),
    ArrowDown: () => view.turn(0, -1), "+": () => view.zoom(0.8), "=": () => view.zoom(0.8), "-": () => view.zoom(1.25),
    Escape: () => pick(null),
  };
  canvas.addEventListener("keydown", (event) => {
    if (!Object.hasOwn(keys, event.key) || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    keys[event.key]();
  });
  new ResizeObserver(() => { view.fit(); view.ask(); }).observe(canvas);
}

useTables(section, (row) => pick(row.classList.contains("picked") ? null : row.dataset.id, false));
notes.fill(section);
showPanel(section, "openings");
if (view) {
  usePicture();
  view.begin((hole) => sayOf(hole, notes.values));
}
check();

// For the console, and for checks of the page.
window.ribwayDraft = {
  get picked() { return picked; },
  get view() { return view; },
  holeOnScreen: (id) => view.onScreen(view.rings.find((one) => one.ring.id === id).middle),
  answers: () => answersText(data.draft.name, data.holes, notes.values),
};
