// The van in 3D: built once for a plan, then shown, cut away, turned and pointed at. Draws only when something changed.

import { AmbientLight, DirectionalLight, Group, HemisphereLight, Plane, Scene, Vector3, WebGLRenderer } from "./three.js";
import { Aim } from "./aim.js";
import { Balls, Rims, deviceShape, ringShape } from "./marks.js";
import { keepOutShape, partShape, runShape, setThickness } from "./shapes.js";
import { meant } from "./pointed.js";

const GHOST = 0.06;
const HALF_SEEN = 0.5;
const DIMMED = 0.1;

/** Whether this machine draws without a graphics card: smooth edges would cost it three times as long. */
function drawsSlowly() {
  const probe = document.createElement("canvas").getContext("webgl2");
  const names = probe?.getExtension("WEBGL_debug_renderer_info");
  const name = names ? String(probe.getParameter(names.UNMASKED_RENDERER_WEBGL)) : "";
  probe?.getExtension("WEBGL_lose_context")?.loseContext();
  return /swiftshader|llvmpipe|softpipe|software|basic render/i.test(name);
}

/** A 3D view on a canvas; throws where the browser has no WebGL. */
export class VanView {
  constructor(canvas, data, onDrawn) {
    this.renderer = new WebGLRenderer({ canvas, antialias: !drawsSlowly(), preserveDrawingBuffer: true });
    this.renderer.setPixelRatio(Math.min(window.devicePixelRatio || 1, 2));
    this.renderer.setClearColor("#ffffff");
    this.canvas = canvas;
    this.data = data;
    this.onDrawn = onDrawn;
    this.scene = new Scene();
    this.aim = new Aim(canvas, () => this.ask());
    this.camera = this.aim.camera;
    const lamp = new DirectionalLight("#ffffff", 1.6);
    this.camera.add(lamp);
    this.scene.add(this.camera, new AmbientLight("#ffffff", 0.9), new HemisphereLight("#ffffff", "#9aa4ad", 0.9));
    this.hiddenWalls = new Set();
    this.hiddenLooms = new Set();
    this.picked = { runs: new Set(), openings: new Set(), devices: new Set() };
    this.view = data.views[0];
    this.waiting = false;
    this.undressed = false;
    this.parts = [];
    this.runs = [];
    this.rings = [];
    this.keepOuts = [];
    this.devices = [];
    this.rims = new Rims();
    this.balls = new Balls();
  }

  /** Show the plan with this number. */
  load(number) {
    if (this.all) this.drop(this.all);
    const plan = this.data.scenes[number];
    this.all = new Group();
    this.plan = plan;
    this.low = new Vector3().fromArray(plan.low);
    this.high = new Vector3().fromArray(plan.high);
    this.parts = plan.parts.map((part) => partShape(part, this.data.meshes[part.mesh]));
    this.runs = plan.runs.map(runShape);
    this.rings = plan.rings.map(ringShape);
    this.keepOuts = plan.keepOuts.map(keepOutShape);
    this.devices = plan.devices.map(deviceShape);
    this.parts.forEach((one) => this.all.add(one.group));
    this.keepOuts.forEach((one) => this.all.add(one.group));
    this.runs.forEach((one) => this.all.add(one.mesh));
    this.all.add(this.rims.mesh, this.balls.mesh);
    this.scene.add(this.all);
    this.hiddenLooms.clear();
    this.picked = { runs: new Set(), openings: new Set(), devices: new Set() };
    this.look(this.view.name);
  }

  drop(group) {
    group.traverse((one) => {
      one.geometry?.dispose();
      one.material?.dispose();
    });
    this.scene.remove(group);
  }

  /** Turn to a standard view; for a wall, the rest of the van is cut off. */
  look(name) {
    this.view = this.data.views.find((view) => view.name === name) ?? this.view;
    const { forward, up, slab, share } = this.view;
    const low = this.low.clone();
    const high = this.high.clone();
    this.renderer.clippingPlanes = [];
    this.cut = null;
    if (slab) {
      const [axis, side] = slab;
      const extent = high.getComponent(axis) - low.getComponent(axis);
      const border = side > 0 ? high.getComponent(axis) - share * extent : low.getComponent(axis) + share * extent;
      (side > 0 ? low : high).setComponent(axis, border);
      const normal = new Vector3().setComponent(axis, side);
      this.cut = new Plane(normal, -side * border);
      this.renderer.clippingPlanes = [this.cut];
    }
    this.fit();
    this.aim.frame(low, high, new Vector3().fromArray(forward).normalize(), new Vector3().fromArray(up), Boolean(slab));
    this.dress();
  }

  /** Fit the drawing to the canvas. */
  fit() {
    if (this.aim.fit()) this.renderer.setSize(this.canvas.clientWidth, this.canvas.clientHeight, false);
  }

  setWall(wall, shown) {
    if (shown) this.hiddenWalls.delete(wall);
    else this.hiddenWalls.add(wall);
    this.dress();
  }

  setLoom(loom, shown) {
    if (shown) this.hiddenLooms.delete(loom);
    else {
      this.hiddenLooms.add(loom);
      for (const { run } of this.runs) if (run.loom === loom) this.picked.runs.delete(run.id);
    }
    this.dress();
  }

  /** Pick runs, openings and devices: they stand out and all other runs fade. */
  pick(runs, openings = [], devices = []) {
    this.picked = { runs: new Set(runs), openings: new Set(openings), devices: new Set(devices) };
    this.dress();
  }

  /** Give everything its looks; rims and balls get theirs when they are drawn, however often looks change before. */
  dress() {
    for (const part of this.parts) {
      part.group.visible = !this.hiddenWalls.has(part.wall);
      const sheet = part.kind === "skin" || part.kind === "panel";
      let most = this.view.slab ? HALF_SEEN : 1;
      if (sheet && this.view.near.includes(part.wall)) most = GHOST;
      const opacity = Math.min(part.opacity, most);
      if (part.metal.opacity !== opacity) {
        part.metal.opacity = opacity;
        part.metal.transparent = opacity < 1;
        part.metal.depthWrite = opacity >= 1;
        part.metal.needsUpdate = true;
      }
    }
    const any = this.picked.runs.size > 0 || this.picked.openings.size > 0 || this.picked.devices.size > 0;
    for (const shape of this.runs) {
      const picked = this.picked.runs.has(shape.run.id);
      shape.mesh.visible = picked || !this.hiddenLooms.has(shape.run.loom);
      shape.skin.opacity = any && !picked ? DIMMED : 1;
      shape.skin.depthWrite = !any || picked;
      shape.mesh.renderOrder = picked ? 4 : 2;
    }
    const through = new Set(this.picked.openings);
    for (const shape of this.rings) {
      shape.visible = !this.hiddenWalls.has(shape.wall) || through.has(shape.ring.id);
      shape.opacity = any && !through.has(shape.ring.id) ? 0.35 : 1;
    }
    this.undressed = true;
    this.keepOuts.forEach((one) => {
      one.group.visible = !this.hiddenWalls.has(one.wall);
    });
    this.ask();
  }

  /** Draw soon; however often this is asked, it is drawn once. */
  ask() {
    if (this.waiting) return;
    this.waiting = true;
    requestAnimationFrame(() => {
      this.waiting = false;
      this.draw();
    });
  }

  draw() {
    if (!this.all) return;
    const { pixel } = this.aim;
    for (const shape of this.runs) setThickness(shape, pixel, this.picked.runs.has(shape.run.id));
    if (this.undressed) {
      this.undressed = false;
      this.rims.dress(this.rings);
      this.balls.dress(this.devices);
    }
    this.balls.keepSeen(pixel);
    this.renderer.render(this.scene, this.camera);
    this.onDrawn?.();
  }

  /** Where a point is on the canvas [px], and how far away [m]; null if it is cut off or behind the camera. */
  onScreen(point) {
    return this.cut && this.cut.distanceToPoint(point) < 0 ? null : this.aim.onScreen(point);
  }

  /** A run's points on the canvas; null for each that is not seen. */
  lineOnScreen(id) {
    const shape = this.runs.find((one) => one.run.id === id);
    if (!shape || !shape.mesh.visible) return [];
    const line = [];
    for (let i = 0; i < shape.points.length; i += 3) {
      line.push(this.onScreen(new Vector3().fromArray(shape.points, i)));
    }
    return line;
  }

  /** What is meant by a point on the canvas: {kind: "run" | "opening" | "device", id}, or null. */
  at(x, y, pointer = "mouse") {
    return meant(this, x, y, pointer);
  }

  zoom(factor) {
    this.aim.zoom(factor);
  }

  turn(left, upwards) {
    this.aim.turn(left, upwards);
  }

  /** The picture as a data address. */
  image() {
    this.draw();
    return this.canvas.toDataURL("image/png");
  }
}
