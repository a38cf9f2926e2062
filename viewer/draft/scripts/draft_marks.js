// Openings of a draft in 3D: a ring in the metal and dots that face the eye, by what is said of each.

import { BufferAttribute, BufferGeometry, DoubleSide, Group, Mesh, MeshBasicMaterial, SphereGeometry, Vector3 } from "./three.js";
import { pointsOf } from "./data.js";

const THIN = 0.004;
const THICK = 0.008;
const DASH = 2;
const WHITE = "#ffffff";

/** How an opening is drawn: which of its steps have a band, how wide, in which colours, with which dots [px]. */
export function looksOf(hole, say) {
  if (say === "deleted") return { every: false, width: THIN, colour: hole.gone, dots: [[8, hole.gone]] };
  if (say === "confirmed") return { every: true, width: THICK, colour: hole.colour, dots: [[14, hole.colour]] };
  if (!hole.sure) return { every: false, width: THIN, colour: hole.colour, dots: [[7, hole.colour]] };
  return { every: true, width: THIN, colour: hole.colour, dots: [[14, hole.colour], [8, WHITE]] };
}

function band(points, width, every) {
  const count = points.length / 3;
  const corners = [];
  const middle = new Vector3();
  for (let i = 0; i < count; i += 1) corners.push(new Vector3().fromArray(points, 3 * i));
  corners.forEach((corner) => middle.addScaledVector(corner, 1 / count));
  const places = new Float32Array(count * 6);
  corners.forEach((corner, i) => {
    const outer = corner.clone().sub(middle);
    outer.setLength(outer.length() + width).add(middle);
    corner.toArray(places, 6 * i);
    outer.toArray(places, 6 * i + 3);
  });
  const faces = [];
  for (let i = 0; i < count; i += 1) {
    if (!every && Math.floor(i / DASH) % 2) continue;
    const a = 2 * i;
    const b = (2 * i + 2) % (2 * count);
    faces.push(a, a + 1, b, b, a + 1, b + 1);
  }
  return { places, faces, middle };
}

/** An opening as the view keeps it: {mesh, paint, middle, reach, ring, wall, balls}. */
export function markShape(hole, say) {
  const looks = looksOf(hole, say);
  const { places, faces, middle } = band(pointsOf(hole.points), looks.width, looks.every);
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(places, 3));
  geometry.setIndex(faces);
  const paint = new MeshBasicMaterial({ color: looks.colour, side: DoubleSide, transparent: true });
  const rim = new Mesh(geometry, paint);
  rim.renderOrder = 3;
  const mesh = new Group();
  mesh.add(rim);
  const balls = looks.dots.map(([size, colour], level) => {
    const skin = new MeshBasicMaterial({ color: colour, depthTest: false, transparent: true });
    const ball = new Mesh(new SphereGeometry(0.5, 12, 8), skin);
    ball.position.copy(middle);
    ball.renderOrder = 5 + level;
    mesh.add(ball);
    return { ball, size };
  });
  const reach = new Vector3().fromArray(places, 0).distanceTo(middle);
  return { mesh, paint, middle, reach, ring: hole, wall: hole.wall, balls };
}
