// The van of the report page, kept while the plan changes, and pointed at to say a place.

import { facesOf, pointsOf } from "./data.js";
import { VanView } from "./scene.js";
import { Color, Vector3 } from "./three.js";
import { deviceShape, ringShape } from "./marks.js";
import { keepOutShape, runShape } from "./shapes.js";
import { hits } from "./ray.js";

const PLACED = "#b85c00";

/** A 3D view whose metal stays while runs, devices, openings and keep-outs are exchanged. */
export class BenchView extends VanView {
  constructor(canvas, metal, scene, onDrawn) {
    super(canvas, { meshes: metal.meshes, views: metal.views, scenes: [] }, onDrawn);
    this.metal = metal;
    this.skins = metal.parts
      .filter((part) => part.kind === "skin")
      .map((part) => ({ wall: part.wall, points: pointsOf(metal.meshes[part.mesh].points), faces: facesOf(metal.meshes[part.mesh]) }));
    this.data.scenes = [this.whole(scene)];
    this.load(0);
  }

  whole(scene) {
    return { ...scene, parts: this.metal.parts, low: this.metal.low, high: this.metal.high };
  }

  /** Show another plan of the same metal; the view stays where it is, and so does what is picked. */
  refresh(scene) {
    const before = this.plan;
    this.plan = this.whole(scene);
    this.data.scenes = [this.plan];
    this.runs = this.exchanged(this.runs, before.runs, scene.runs, runShape, (shape) => shape.mesh);
    this.rings = this.exchanged(this.rings, before.rings, scene.rings, ringShape, () => null);
    this.devices = this.exchanged(this.devices, before.devices, scene.devices, deviceShape, () => null);
    this.keepOuts = this.exchanged(this.keepOuts, before.keepOuts, scene.keepOuts, keepOutShape, (shape) => shape.group);
    this.fit();
    this.dress();
    this.ask();
  }

  /** Shapes of a plan's things: those of things that are as they were are kept, which is most of them. */
  exchanged(shapes, before, after, shapeOf, meshOf) {
    const kept = new Map(shapes.map((shape, i) => [JSON.stringify(before[i]), shape]));
    const found = after.map((thing) => {
      const name = JSON.stringify(thing);
      const shape = kept.get(name);
      kept.delete(name);
      return shape && !shape.moved ? shape : this.added(shapeOf(thing), meshOf);
    });
    const used = new Set(found);
    for (const shape of shapes) if (!used.has(shape)) this.discard(meshOf(shape));
    return found;
  }

  /** meshOf: the shape's own mesh, null if it is drawn together with others. */
  added(shape, meshOf) {
    const mesh = meshOf(shape);
    if (mesh) this.all.add(mesh);
    return shape;
  }

  discard(part) {
    part?.traverse((one) => {
      one.geometry?.dispose();
      one.material?.dispose();
    });
    if (part) this.all.remove(part);
  }

  /** Give the canvas up to another view: what it draws and hears from now on is that one's. */
  retire() {
    this.aim.onMoved = () => {};
    this.aim.controls.dispose();
    this.drop(this.all);
    this.all = null;
    this.renderer.dispose();
  }

  /** Whether a device stands where no plan has it. */
  get astray() {
    return this.devices.some((one) => one.moved);
  }

  /** Let a device stand at another point at once, before its plan is there. */
  put(id, point) {
    const found = this.devices.find((one) => one.device.id === id);
    if (!found) return;
    found.moved = true;
    found.place = point;
    found.colour = new Color(PLACED);
    this.dress();
  }

  /** The inner face of the metal under a point of the canvas: {wall, point}, or null. */
  spotAt(x, y) {
    const { clientWidth: wide, clientHeight: high } = this.canvas;
    this.camera.updateMatrixWorld();
    const far = new Vector3((2 * x) / wide - 1, 1 - (2 * y) / high, 0.5).unproject(this.camera);
    const eye = this.camera.position;
    const way = far.sub(eye).normalize();
    const middle = new Vector3().fromArray(this.metal.low).add(new Vector3().fromArray(this.metal.high)).multiplyScalar(0.5);
    let best = null;
    for (const skin of this.skins) {
      if (this.hiddenWalls.has(skin.wall)) continue;
      for (const hit of hits(eye.toArray(), way.toArray(), skin.points, skin.faces)) {
        if (best && hit.t >= best.t) continue;
        const point = eye.clone().addScaledVector(way, hit.t);
        if (this.cut && this.cut.distanceToPoint(point) < -1e-6) continue;
        // Metal that is seen from outside is looked through: what is meant is the wall behind it.
        const normal = new Vector3().fromArray(hit.normal);
        const inwards = normal.dot(middle.clone().sub(point)) >= 0 ? normal : normal.negate();
        if (inwards.dot(way) >= 0) continue;
        best = { t: hit.t, wall: skin.wall, point: point.toArray() };
      }
    }
    return best && { wall: best.wall, point: best.point };
  }
}
