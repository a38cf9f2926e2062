// From the page's data to things that three.js draws.

import { BufferAttribute, BufferGeometry, Color, DoubleSide, EdgesGeometry, Group, LineBasicMaterial, LineLoop, LineSegments, Mesh, MeshBasicMaterial, MeshLambertMaterial, ShapeUtils, Vector2, Vector3 } from "./three.js";
import { facesOf, pointsOf, sidesOf } from "./data.js";
import { tubeOf } from "./tube.js";

const CREASE_DEG = 30;
const EDGE = "#59626b";
const KEEP_OUT = "#b3261e";
const LEAST_PX = 1.5;
const BAND_EVERY_M = 0.16;
const BAND_M = 0.06;

/** A part of the shell with the lines along its creases. */
export function partShape(part, mesh) {
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(pointsOf(mesh.points), 3));
  geometry.setIndex(new BufferAttribute(facesOf(mesh), 1));
  const clear = part.opacity < 1;
  const metal = new MeshLambertMaterial({
    color: part.colour,
    opacity: part.opacity,
    transparent: clear,
    depthWrite: !clear,
    side: DoubleSide,
    forceSinglePass: true,
    flatShading: true,
    polygonOffset: true,
    polygonOffsetFactor: 1,
    polygonOffsetUnits: 1,
  });
  const edges = new LineSegments(
    new EdgesGeometry(geometry, CREASE_DEG),
    new LineBasicMaterial({ color: EDGE, transparent: true, opacity: clear ? 0.35 : 0.75 }),
  );
  const group = new Group();
  group.add(new Mesh(geometry, metal), edges);
  return { group, metal, edges: edges.material, kind: part.kind, wall: part.wall, opacity: part.opacity };
}

/** 1 for each corner in a white band, 0 for each between; a tube has this many corners a point. */
function bands(points, corners) {
  const white = new Float32Array(points.length * corners);
  let at = 0;
  for (let i = 0; i < points.length; i += 3) {
    if (i) at += Math.hypot(points[i] - points[i - 3], points[i + 1] - points[i - 2], points[i + 2] - points[i - 1]);
    if (at % BAND_EVERY_M < BAND_M) white.fill(1, i * corners, (i + 3) * corners);
  }
  return white;
}

/** A run: a tube of its true thickness, but never thinner on the screen than can be seen. */
export function runShape(run) {
  const points = pointsOf(run.points);
  const tube = tubeOf(points, run.flat ? { share: run.flat.share, thin: sidesOf(run.flat.thin) } : null);
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(tube.axis, 3));
  geometry.setAttribute("normal", new BufferAttribute(tube.out, 3));
  geometry.setIndex(new BufferAttribute(tube.faces, 1));
  const colour = new Color(run.colour);
  if (run.banded) geometry.setAttribute("color", new BufferAttribute(bands(points, tube.axis.length / points.length), 3));
  const skin = new MeshLambertMaterial({ color: colour, emissive: colour, emissiveIntensity: 0.35, transparent: true });
  if (run.banded) {
    // White bands on the same colour tell it from the loom that had the colour first.
    skin.vertexColors = true;
    skin.emissiveIntensity = 0.15;
    skin.color.set("#ffffff");
    const own = geometry.getAttribute("color");
    for (let i = 0; i < own.count; i += 1) if (own.getX(i) === 0) own.setXYZ(i, colour.r, colour.g, colour.b);
  }
  const sizes = { radius: { value: run.radius }, least: { value: 0 } };
  skin.onBeforeCompile = (shader) => {
    Object.assign(shader.uniforms, sizes);
    shader.vertexShader = `uniform float radius;\nuniform float least;\n${shader.vertexShader}`.replace(
      "#include <begin_vertex>",
      `float away = -(modelViewMatrix * vec4(position, 1.0)).z;
       vec3 transformed = position + normal * max(radius, least * away);`,
    );
  };
  const mesh = new Mesh(geometry, skin);
  mesh.renderOrder = 2;
  return { mesh, skin, sizes, points, run, colour };
}

/** Tell a run how large a pixel is at a distance of 1 m, so that it stays wide enough; times thicker if it is picked. */
export function setThickness(shape, pixel, picked) {
  shape.sizes.least.value = pixel * LEAST_PX * (picked ? 2 : 1);
  shape.sizes.radius.value = shape.run.radius * (picked ? 1.25 : 1);
}

/** A ring as a band of its own width [m], since lines are one pixel thin on most screens: its corners, triangles, middle and reach. */
export function flatBand(points, width) {
  const count = points.length / 3;
  const middle = new Vector3();
  const corners = [];
  for (let i = 0; i < count; i += 1) corners.push(new Vector3().fromArray(points, 3 * i));
  corners.forEach((corner) => middle.addScaledVector(corner, 1 / count));
  const band = new Float32Array(count * 6);
  corners.forEach((corner, i) => {
    const outer = corner.clone().sub(middle);
    outer.setLength(outer.length() + width).add(middle);
    corner.toArray(band, 6 * i);
    outer.toArray(band, 6 * i + 3);
  });
  const faces = [];
  for (let i = 0; i < count; i += 1) {
    const a = 2 * i;
    const b = (2 * i + 2) % (2 * count);
    faces.push(a, a + 1, b, b, a + 1, b + 1);
  }
  return { band, faces, middle, reach: new Vector3().fromArray(band, 0).distanceTo(middle) };
}

/** A region that no cable may enter: tinted, with its outline. */
export function keepOutShape(one) {
  const points = pointsOf(one.points);
  const corners = [];
  for (let i = 0; i < points.length; i += 3) corners.push(new Vector3().fromArray(points, i));
  // Triangles are found in the plane that the outline is widest in.
  const size = [0, 1, 2].map((axis) => {
    const values = corners.map((corner) => corner.getComponent(axis));
    return Math.max(...values) - Math.min(...values);
  });
  const thin = size.indexOf(Math.min(...size));
  const [u, v] = [0, 1, 2].filter((axis) => axis !== thin);
  const flat = corners.map((corner) => new Vector2(corner.getComponent(u), corner.getComponent(v)));
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(points, 3));
  geometry.setIndex(ShapeUtils.triangulateShape(flat, []).flat());
  const tint = new MeshBasicMaterial({
    color: KEEP_OUT, opacity: 0.25, transparent: true, depthWrite: false, side: DoubleSide,
  });
  const line = new BufferGeometry();
  line.setAttribute("position", new BufferAttribute(points, 3));
  const group = new Group();
  group.add(new Mesh(geometry, tint), new LineLoop(line, new LineBasicMaterial({ color: KEEP_OUT })));
  return { group, wall: one.wall };
}
