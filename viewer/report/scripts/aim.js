// The camera: where it stands, what it turns about, and where points come to lie on the canvas.

import { OrbitControls, PerspectiveCamera, Spherical, Vector3 } from "./three.js";

const WIDE_DEG = 30;
const FLAT_DEG = 7;
const TURN = 0.12;

/** A camera over a canvas; onMoved() is called whenever it moved. */
export class Aim {
  constructor(canvas, onMoved) {
    this.canvas = canvas;
    this.onMoved = onMoved;
    this.camera = new PerspectiveCamera(WIDE_DEG, 1, 0.05, 200);
    this.camera.up.set(0, 0, 1);
    this.hold(new Vector3());
  }

  /** Turn about a point from now on. The controls take their upright from the camera once, when they are made. */
  hold(middle) {
    this.controls?.dispose();
    this.controls = new OrbitControls(this.camera, this.canvas);
    this.controls.target.copy(middle);
    this.controls.zoomToCursor = true;
    this.controls.addEventListener("change", () => this.onMoved());
  }

  /** Fit the picture to the canvas; false while the canvas has no size. */
  fit() {
    const { clientWidth: wide, clientHeight: high } = this.canvas;
    if (!wide || !high) return false;
    this.camera.aspect = wide / high;
    this.camera.updateProjectionMatrix();
    return true;
  }

  /** Put the camera where it sees a whole box. */
  frame(low, high, forward, up, flat) {
    this.camera.fov = flat ? FLAT_DEG : WIDE_DEG;
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
    this.camera.position.copy(at(-back));
    this.camera.near = Math.max(0.02, away / 100);
    this.camera.far = away * 4 + 20;
    this.camera.updateProjectionMatrix();
    this.hold(middle);
    this.controls.update();
    this.onMoved();
  }

  /** Go nearer (factor below 1) or farther. */
  zoom(factor) {
    const away = this.camera.position.clone().sub(this.controls.target);
    this.camera.position.copy(this.controls.target).addScaledVector(away, factor);
    this.controls.update();
    this.onMoved();
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
    this.onMoved();
  }

  /** Where a point is on the canvas [px], and how far away [m]; null if it is behind the camera. */
  onScreen(point) {
    const seen = point.clone().applyMatrix4(this.camera.matrixWorldInverse);
    if (seen.z >= 0) return null;
    const away = -seen.z;
    seen.applyMatrix4(this.camera.projectionMatrix);
    const { clientWidth: wide, clientHeight: high } = this.canvas;
    return [((seen.x + 1) * wide) / 2, ((1 - seen.y) * high) / 2, away];
  }

  /** How much a pixel shows at a distance of 1 m [m]. */
  get pixel() {
    return (2 * Math.tan((this.camera.fov * Math.PI) / 360)) / Math.max(1, this.canvas.clientHeight);
  }

  /** Where it stands and what it looks at, to be taken by another. */
  get stand() {
    const { position, up, fov, near, far } = this.camera;
    return { position: position.clone(), up: up.clone(), target: this.controls.target.clone(), fov, near, far };
  }

  /** Stand where another stands; onMoved is not called. */
  take(stand) {
    if (!this.camera.up.equals(stand.up)) {
      this.camera.up.copy(stand.up);
      this.hold(stand.target);
    }
    Object.assign(this.camera, { fov: stand.fov, near: stand.near, far: stand.far });
    this.camera.position.copy(stand.position);
    this.controls.target.copy(stand.target);
    this.camera.lookAt(stand.target);
    this.camera.updateProjectionMatrix();
    this.camera.updateMatrixWorld();
  }
}
