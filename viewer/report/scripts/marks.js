// Rims of openings and balls of devices: each kind is one mesh. A machine that draws without a graphics card takes longer for
// two hundred small meshes than for all cables together.

import { BufferAttribute, BufferGeometry, Color, DoubleSide, Mesh, MeshBasicMaterial, SphereGeometry } from "./three.js";
import { flatBand } from "./shapes.js";
import { pointsOf } from "./data.js";

const INK = "#1b2026";
const BALL_M = 0.022;
const BALL_PX = 4;

/** The rim of an opening, coloured by how full it is; it is shown by `Rims`. */
export function ringShape(ring) {
  const { band, faces, middle, reach } = flatBand(pointsOf(ring.points), ring.used ? 0.004 : 0.002);
  return { band, faces, middle, reach, ring, wall: ring.wall, colour: new Color(ring.colour), visible: true, opacity: 1 };
}

/** A device: a ball where its wires end; it is shown by `Balls`. */
export function deviceShape(device) {
  return { device, place: device.point, colour: new Color(INK) };
}

/** Corners of many shapes in a row. */
function filled(geometry, name, size, shapes, valuesOf) {
  const all = shapes.map(valuesOf);
  const found = new Float32Array(all.reduce((sum, one) => sum + one.length, 0));
  let at = 0;
  for (const one of all) {
    found.set(one, at);
    at += one.length;
  }
  geometry.setAttribute(name, new BufferAttribute(found, size));
}

/** The same values for each of so many corners. */
function repeated(count, values) {
  const found = new Float32Array(count * values.length);
  for (let i = 0; i < found.length; i += values.length) found.set(values, i);
  return found;
}

function indices(geometry, shapes, facesOf, cornersOf) {
  const found = [];
  let first = 0;
  for (const one of shapes) {
    for (const corner of facesOf(one)) found.push(first + corner);
    first += cornersOf(one);
  }
  geometry.setIndex(new BufferAttribute(new Uint32Array(found), 1));
}

class Marks {
  constructor(material) {
    this.mesh = new Mesh(new BufferGeometry(), material);
    this.mesh.renderOrder = 3;
    this.mesh.frustumCulled = false;
  }

  /** Show these shapes as they say that they look. */
  dress(shapes) {
    this.mesh.geometry.dispose();
    this.mesh.visible = shapes.length > 0;
    if (shapes.length) this.lay(this.mesh.geometry, shapes);
  }
}

export class Rims extends Marks {
  constructor() {
    super(new MeshBasicMaterial({ vertexColors: true, side: DoubleSide, transparent: true, forceSinglePass: true }));
  }

  dress(shapes) {
    super.dress(shapes.filter((one) => one.band && one.visible));
  }

  lay(geometry, shapes) {
    const corners = (one) => one.band.length / 3;
    filled(geometry, "position", 3, shapes, (one) => one.band);
    filled(geometry, "color", 4, shapes, (one) => repeated(corners(one), [one.colour.r, one.colour.g, one.colour.b, one.opacity]));
    indices(geometry, shapes, (one) => one.faces, corners);
  }
}

export class Balls extends Marks {
  constructor() {
    super(new MeshBasicMaterial({ vertexColors: true }));
    this.ball = new SphereGeometry(1, 12, 8);
    this.least = { value: 0 };
    this.mesh.material.onBeforeCompile = (shader) => {
      shader.uniforms.least = this.least;
      shader.vertexShader = `uniform float least;\n${shader.vertexShader}`.replace(
        "#include <begin_vertex>",
        `float away = -(modelViewMatrix * vec4(position, 1.0)).z;
         vec3 transformed = position + normal * max(${BALL_M}, least * away);`,
      );
    };
  }

  lay(geometry, shapes) {
    const out = this.ball.getAttribute("position");
    filled(geometry, "position", 3, shapes, (one) => repeated(out.count, one.place));
    filled(geometry, "normal", 3, shapes, () => out.array);
    filled(geometry, "color", 3, shapes, (one) => repeated(out.count, [one.colour.r, one.colour.g, one.colour.b]));
    indices(geometry, shapes, () => this.ball.getIndex().array, () => out.count);
  }

  /** Keep balls large enough to be seen: a pixel is this large at a distance of 1 m. */
  keepSeen(pixel) {
    this.least.value = pixel * BALL_PX;
  }
}
