// The pictures: the van as it is planned here and, beside it, another way; both stand where the other stands.

import { Vector3 } from "./three.js";
import { make } from "./ask.js";
import { BenchView } from "./bench_view.js";
import { showNames, withRoom } from "./labels.js";
import { useWayUp } from "./readout.js";
import { placeOf } from "./spots.js";

const byId = (id) => document.getElementById(id);
const NOT_STILL_PX = { mouse: 4, pen: 8, touch: 12 };
const narrow = window.matchMedia("(max-width: 999px)");

/** Pictures on the page's canvases; pick(what) and pickBeside(what) are told what was meant by a press that was no drag. */
export class Sight {
  constructor(pick, pickBeside) {
    this.pick = pick;
    this.view = null;
    this.second = null;
    this.plan = null;
    this.allNames = false;
    this.pointing = null;
    this.hiddenWalls = new Set();
    this.following = false;
    this.useCanvas(byId("canvas"), () => this.view, (x, y, kind) => this.pressed(x, y, kind));
    this.useCanvas(byId("second-canvas"), () => this.second, (x, y, kind) => pickBeside(this.second.at(x, y, kind)));
    useWayUp(byId("to-picture"), byId("picture"), byId("canvas"), () => narrow.matches && this.view !== null);
    document.addEventListener("keydown", (event) => {
      if (event.key !== "Escape") return;
      if (this.pointing) this.endPointing();
      else if (!event.target.matches("input, select, textarea")) this.pick(null);
    });
  }

  /** Show a plan; metal is given anew where it is otherwise. */
  show(plan, metal) {
    const before = this.plan;
    this.plan = plan;
    if (metal || !this.view) {
      if (!metal || byId("pictures").hidden) return;
      this.view = this.made(this.view, byId("canvas"), metal, plan.scene, () => this.drawNames(this.view, byId("names")));
      if (!this.view) return;
      byId("thinned").hidden = !metal.thinned;
      byId("thinned").textContent = metal.thinned;
      this.tools(metal.views);
      this.join();
    } else if (before?.sceneKey !== plan.sceneKey) this.view.refresh(plan.scene);
  }

  /** What was put somewhere before its plan was there stands where this plan has it. */
  settle(plan) {
    if (this.view?.astray) this.view.refresh(plan.scene);
  }

  /** Show another plan beside it, or none. */
  showSecond(plan, metal, here = "", there = "") {
    byId("caption").hidden = !plan;
    byId("caption").textContent = `worked on: ${here}`;
    byId("second-caption").textContent = there;
    const two = byId("pictures").classList.contains("two");
    byId("pictures").classList.toggle("two", Boolean(plan));
    byId("second").hidden = !plan;
    if (!plan) {
      this.second?.retire();
      this.second = null;
    } else if (metal) this.second = this.made(this.second, byId("second-canvas"), metal, plan.scene, () => this.drawNames(this.second, byId("second-names")));
    else this.second?.refresh(plan.scene);
    this.join();
    if (two !== Boolean(plan)) requestAnimationFrame(() => this.each((one) => one.look(this.view.view.name)));
  }

  /** A view in the place of another, if there is one; it looks where that looked. */
  made(before, canvas, metal, scene, onDrawn) {
    try {
      before?.retire();
      const found = new BenchView(canvas, metal, scene, onDrawn);
      if (before) found.look(before.view.name);
      for (const wall of this.hiddenWalls) found.setWall(wall, false);
      return found;
    } catch {
      byId("no-picture").hidden = false;
      byId("pictures").hidden = true;
      byId("tools").hidden = true;
      return null;
    }
  }

  each(act) {
    for (const one of [this.view, this.second]) if (one) act(one);
  }

  /** From now on each picture moves with the other. */
  join() {
    this.each((one) => {
      one.aim.onMoved = () => {
        one.ask();
        const other = one === this.view ? this.second : this.view;
        if (!other || this.following) return;
        this.following = true;
        other.aim.take(one.aim.stand);
        other.ask();
        this.following = false;
      };
    });
    if (this.view && this.second) {
      this.second.look(this.view.view.name);
      this.second.aim.take(this.view.aim.stand);
      this.second.ask();
    }
  }

  tools(views) {
    const group = (label, ...buttons) => make("div", { class: "bar", role: "group", "aria-label": label }, ...buttons);
    const looks = views.map((one) => make("button", { type: "button", class: "small", "aria-pressed": String(one.name === this.view.view.name), text: one.name === "overview" ? "all" : one.name,
      title: one.title, "data-view": one.name,
      onclick: (event) => {
        for (const button of looks) button.setAttribute("aria-pressed", String(button === event.target));
        this.each((view) => view.look(one.name));
      } }));
    const names = make("button", { type: "button", class: "small", "aria-pressed": String(this.allNames), text: "names", onclick: () => {
      this.allNames = !this.allNames;
      names.setAttribute("aria-pressed", String(this.allNames));
      this.each((view) => view.ask());
    } });
    const near = [["nearer", "+", 0.8], ["farther", "−", 1.25]].map(([label, text, factor]) => make("button", {
      type: "button", class: "small", "aria-label": label, text, onclick: () => this.view.zoom(factor),
    }));
    const walls = [...new Set(this.view.parts.map((part) => part.wall))].filter(Boolean).map((wall) => make("button", {
      type: "button", class: "small", "aria-pressed": String(!this.hiddenWalls.has(wall)), text: wall, "data-wall": wall,
      onclick: (event) => {
        const shown = event.target.getAttribute("aria-pressed") !== "true";
        event.target.setAttribute("aria-pressed", String(shown));
        if (shown) this.hiddenWalls.delete(wall);
        else this.hiddenWalls.add(wall);
        this.each((view) => view.setWall(wall, shown));
      },
    }));
    byId("tools").replaceChildren(group("Looks at", ...looks),
      group("Near, names, and metal cut away", ...near, names, make("span", { class: "label", text: "metal of" }), ...walls));
  }

  /** Names to show over a picture: of what is picked, and of all devices if wanted. */
  drawNames(view, place) {
    if (!view) return;
    const wanted = [];
    const add = (text, point, kind) => {
      const spot = view.onScreen(point);
      if (spot) wanted.push({ text, x: spot[0], y: spot[1], kind });
    };
    const runs = view.plan.runs.filter((run) => view.picked.runs.has(run.id));
    const few = runs.length <= 3 ? runs : [];
    const ends = new Set(few.flatMap((run) => run.ends));
    const through = new Set(few.flatMap((run) => run.openings));
    for (const { place, device } of view.devices) {
      if (this.allNames || view.picked.devices.has(device.id) || ends.has(device.id)) add(device.name, new Vector3().fromArray(place), "device");
    }
    for (const { middle, ring } of view.rings) {
      if (view.picked.openings.has(ring.id) || through.has(ring.id) || (this.allNames && ring.used && view.view.slab)) add(ring.id, middle, "opening");
    }
    showNames(place, withRoom(wanted, view.canvas.clientWidth, view.canvas.clientHeight));
  }

  /** Wait for a point on a wall; act(spot) gives null to go on pointing. False if there is no picture. */
  point(words, act) {
    if (!this.view) return false;
    this.pointing = act;
    byId("pointing").textContent = words;
    byId("pointing").hidden = false;
    byId("canvas").scrollIntoView({ block: "nearest" });
    byId("canvas").focus({ preventScroll: true });
    return true;
  }

  endPointing() {
    this.pointing = null;
    byId("pointing").hidden = true;
  }

  spotAt(x, y) {
    const found = this.view?.spotAt(x, y);
    if (!found || !this.plan) return null;
    return { point: found.point, place: placeOf(found.wall, found.point, this.plan.datum, this.plan.units) };
  }

  pressed(x, y, kind) {
    if (!this.pointing) {
      this.pick(this.view.at(x, y, kind), narrow.matches);
      return;
    }
    const spot = this.spotAt(x, y);
    if (!spot || spot.place.wall === "rear") {
      byId("pointing").textContent = "There is no wall there that things go on: point at a wall, the roof or the floor.";
      return;
    }
    if (this.pointing(spot) !== null) this.endPointing();
  }

  useCanvas(canvas, view, act) {
    let down = null;
    canvas.addEventListener("pointerdown", (event) => { down = [event.offsetX, event.offsetY]; });
    canvas.addEventListener("pointerup", (event) => {
      const still = down && Math.hypot(event.offsetX - down[0], event.offsetY - down[1]) < (NOT_STILL_PX[event.pointerType] ?? NOT_STILL_PX.touch);
      if (still && event.button === 0 && view()) act(event.offsetX, event.offsetY, event.pointerType);
      down = null;
    });
    const keys = {
      ArrowLeft: (one) => one.turn(-1, 0), ArrowRight: (one) => one.turn(1, 0), ArrowUp: (one) => one.turn(0, 1),
      ArrowDown: (one) => one.turn(0, -1), "+": (one) => one.zoom(0.8), "=": (one) => one.zoom(0.8), "-": (one) => one.zoom(1.25),
    };
    canvas.addEventListener("keydown", (event) => {
      if (!Object.hasOwn(keys, event.key) || event.ctrlKey || event.metaKey || event.altKey || !view()) return;
      event.preventDefault();
      keys[event.key](view());
    });
    new ResizeObserver(() => { view()?.fit(); view()?.ask(); }).observe(canvas);
  }
}
