// The van in 3D: built once for a plan, then shown, cut away, turned and pointed at. Draws only when something changed.

import { AmbientLight, DirectionalLight, Group, HemisphereLight, OrbitControls, PerspectiveCamera, Plane, Scene, Spherical, Vector3, WebGLRenderer } from "./three.js";
import { deviceShape, keepOutShape, partShape, ringShape, runShape, setThickness } from "./shapes.js";
import { nearestLine } from "./nearest.js";

const WIDE_DEG = 30;
const FLAT_DEG = 7;
const GHOST = 0.06;
const HALF_SEEN = 0.5;
const DIMMED = 0.1;
const REACH_PX = { mouse: 10, pen: 14, touch: 24 };
const TURN = 0.12;

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
    this.camera = new PerspectiveCamera(WIDE_DEG, 1, 0.05, 200);
    this.camera.up.set(0, 0, 1);
    const lamp = new DirectionalLight("#ffffff", 1.6);
    this.camera.add(lamp);
    this.scene.add(this.camera, new AmbientLight("#ffffff", 0.9), new HemisphereLight("#ffffff", "#9aa4ad", 0.9));
    this.controls = new OrbitControls(this.camera, canvas);
    this.controls.zoomToCursor = true;
    this.controls.addEventListener("change", () => this.ask());
    this.hiddenWalls = new Set();
    this.hiddenLooms = new Set();
    this.picked = { runs: new Set(), openings: new Set(), devices: new Set() };
    this.view = data.views[0];
    this.waiting = false;
    this.parts = [];
    this.runs = [];
    this.rings = [];
    this.keepOuts = [];
    this.devices = [];
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
    [...this.runs, ...this.rings, ...this.devices].forEach((one) => this.all.add(one.mesh));
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
    this.camera.fov = slab ? FLAT_DEG : WIDE_DEG;
    this.frame(low, high, new Vector3().fromArray(forward).normalize(), new Vector3().fromArray(up));
    this.dress();
  }

  /** Put the camera where it sees a whole box. */
  frame(low, high, forward, up) {
    this.fit();
    // A camera that looks straight down would lose its sideways direction: it leans by a hair.
    if (Math.abs(forward.z) > 0.999) forward.set(1e-4, 0, Math.sign(forward.z)).normalize();
    const right = new Vector3().crossVectors(forward, up).normalize();
    const top = new Vector3().crossVectors(right, forward);
    // Each border of the picture is a plane through the camera that no corner may pass: the widest pair says how far
    // back the camera stands, and all four where its axis lies.
    const slope = (0.96 * Math.tan((this.camera.fov * Math.PI) / 360));
    const across = slope * this.camera.aspect;
    const reach = { right: -Infinity, left: -Infinity, top: -Infinity, bottom: -Infinity, far: -Infinity, near: Infinity };
    for (let i = 0; i < 8; i += 1) {
      const corner = new Vector3(i & 1 ? low.x : high.x, i & 2 ? low.y : high.y, i & 4 ? low.z : high.z);
      const [x, y, z] = [corner.dot(right), corner.dot(top), corner.dot(forward)];
      reach.right = Math.max(reach.right, x - z * across);
      reach.left = Math.max(reach.left, -x - z * across);
      reach.top = Math.max(reach.top, y - z * slope);
      reach.bottom = Math.max(reach.bottom, -y - z * slope);
      reach.far = Math.max(reach.far, z);
      reach.near = Math.min(reach.near, z);
    }
    const back = Math.max((reach.right + reach.left) / (2 * across), (reach.top + reach.bottom) / (2 * slope));
    const at = (z) => new Vector3()
      .addScaledVector(right, (reach.right - reach.left) / 2)
      .addScaledVector(top, (reach.top - reach.bottom) / 2)
      .addScaledVector(forward, z);
    const middle = at((reach.near + reach.far) / 2);
    const away = (reach.near + reach.far) / 2 + back;
    this.camera.up.copy(Math.abs(forward.z) > 0.999 ? up : new Vector3(0, 0, 1));
    this.controls.object = this.camera;
    this.camera.position.copy(at(-back));
    this.camera.near = Math.max(0.02, away / 100);
    this.camera.far = away * 4 + 20;
    this.camera.updateProjectionMatrix();
    this.controls.target.copy(middle);
    // The controls take their upright from the camera once, when they are made.
    this.controls.dispose();
    this.controls = new OrbitControls(this.camera, this.canvas);
    this.controls.target.copy(middle);
    this.controls.zoomToCursor = true;
    this.controls.addEventListener("change", () => this.ask());
    this.controls.update();
    this.ask();
  }

  /** Fit the drawing to the canvas. */
  fit() {
    const { clientWidth: wide, clientHeight: high } = this.canvas;
    if (!wide || !high) return;
    this.renderer.setSize(wide, high, false);
    this.camera.aspect = wide / high;
    this.camera.updateProjectionMatrix();
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

  /** Give everything its looks. */
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
      shape.mesh.visible = !this.hiddenWalls.has(shape.wall) || through.has(shape.ring.id);
      shape.paint.opacity = any && !through.has(shape.ring.id) ? 0.35 : 1;
      shape.mesh.scale.setScalar(1);
    }
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
    const pixel = (2 * Math.tan((this.camera.fov * Math.PI) / 360)) / Math.max(1, this.canvas.clientHeight);
    for (const shape of this.runs) setThickness(shape, pixel, this.picked.runs.has(shape.run.id));
    for (const { mesh } of this.devices) {
      mesh.scale.setScalar(Math.max(1, (pixel * 4 * mesh.position.distanceTo(this.camera.position)) / 0.022));
    }
    this.renderer.render(this.scene, this.camera);
    this.onDrawn?.();
  }

  /** Where a point is on the canvas [px], and how far away [m]; null if it is cut off or behind the camera. */
  onScreen(point) {
    if (this.cut && this.cut.distanceToPoint(point) < 0) return null;
    const seen = point.clone().applyMatrix4(this.camera.matrixWorldInverse);
    if (seen.z >= 0) return null;
    const away = -seen.z;
    seen.applyMatrix4(this.camera.projectionMatrix);
    const { clientWidth: wide, clientHeight: high } = this.canvas;
    return [((seen.x + 1) * wide) / 2, ((1 - seen.y) * high) / 2, away];
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
    const reach = REACH_PX[pointer] ?? REACH_PX.mouse;
    const near = (point, size) => {
      const spot = this.onScreen(point);
      return spot && Math.hypot(spot[0] - x, spot[1] - y) <= size ? spot[2] : null;
    };
    const device = this.devices
      .map((one) => ({ id: one.device.id, away: near(one.mesh.position, Math.max(8, reach * 0.6)) }))
      .filter((one) => one.away !== null)
      .sort((a, b) => a.away - b.away)[0];
    if (device) return { kind: "device", id: device.id };
    const lines = this.runs
      .filter((one) => one.mesh.visible)
      .map((one) => ({ id: one.run.id, points: this.lineOnScreen(one.run.id) }));
    const run = nearestLine(lines, x, y, reach);
    if (run !== null) return { kind: "run", id: run };
    const pixel = (2 * Math.tan((this.camera.fov * Math.PI) / 360)) / this.canvas.clientHeight;
    const ring = this.rings
      .filter((one) => one.mesh.visible)
      .map((one) => {
        const spot = this.onScreen(one.middle);
        const off = spot ? Math.hypot(spot[0] - x, spot[1] - y) : Infinity;
        return { id: one.ring.id, off, size: spot ? one.reach / (pixel * spot[2]) : 0 };
      })
      .filter((one) => one.off <= Math.max(one.size, reach))
      .sort((a, b) => a.off - b.off)[0];
    return ring ? { kind: "opening", id: ring.id } : null;
  }

  /** Go nearer (factor below 1) or farther. */
  zoom(factor) {
    const away = this.camera.position.clone().sub(this.controls.target);
    this.camera.position.copy(this.controls.target).addScaledVector(away, factor);
    this.controls.update();
    this.ask();
  }

  /** Turn about the middle: steps to the left and upwards. */
  turn(left, upwards) {
    const away = this.camera.position.clone().sub(this.controls.target);
    const upright = new Spherical().setFromCartesianCoords(away.y, away.z, away.x);
    upright.theta -= left * TURN;
    upright.phi = Math.min(Math.PI - 0.01, Math.max(0.01, upright.phi - upwards * TURN));
    const turned = new Vector3().setFromSpherical(upright);
    this.camera.position.copy(this.controls.target).add(new Vector3(turned.z, turned.x, turned.y));
    this.controls.update();
    this.ask();
  }

  /** The picture as a data address. */
  image() {
    this.draw();
    return this.canvas.toDataURL("image/png");
  }
}
