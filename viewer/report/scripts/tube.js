// A tube about a line, laid out so that the graphics card sets its thickness: each corner lies on the line and carries
// the direction that leads out to the tube's side.

const SIDES = 8;

function unit(x, y, z) {
  const size = Math.hypot(x, y, z) || 1;
  return [x / size, y / size, z / size];
}

function cross(a, b) {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}

function dot(a, b) {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

/**
 * Corners, directions and triangles of a tube with flat ends.
 *
 * points: Float32Array of triples [m], two or more points. The directions turn with the line and never twist about it.
 * flat: of a flat cable its thickness by its width (share) and Int8Array triples across which it is thin; else null.
 */
export function tubeOf(points, flat = null) {
  const count = points.length / 3;
  const at = (i) => [points[3 * i], points[3 * i + 1], points[3 * i + 2]];
  const axis = new Float32Array(count * SIDES * 3);
  const out = new Float32Array(count * SIDES * 3);
  let side = null;
  for (let i = 0; i < count; i += 1) {
    const before = at(Math.max(i - 1, 0));
    const after = at(Math.min(i + 1, count - 1));
    const along = unit(after[0] - before[0], after[1] - before[1], after[2] - before[2]);
    if (!side) side = Math.abs(along[2]) < 0.9 ? cross(along, [0, 0, 1]) : cross(along, [1, 0, 0]);
    if (flat) side = cross([flat.thin[3 * i], flat.thin[3 * i + 1], flat.thin[3 * i + 2]], along);
    const lean = dot(side, along);
    side = unit(side[0] - lean * along[0], side[1] - lean * along[1], side[2] - lean * along[2]);
    const other = cross(along, side);
    for (let k = 0; k < SIDES; k += 1) {
      const turn = (2 * Math.PI * (k + 0.5)) / SIDES;
      // A flat cable's section: two round edges with flat sides between; at share 1 a circle.
      const share = flat ? flat.share : 1;
      const c = Math.sign(Math.cos(turn)) * (1 - share) + share * Math.cos(turn);
      const s = share * Math.sin(turn);
      const base = 3 * (i * SIDES + k);
      for (let j = 0; j < 3; j += 1) {
        axis[base + j] = points[3 * i + j];
        out[base + j] = c * side[j] + s * other[j];
      }
    }
  }
  return { axis, out, faces: facesOfTube(count) };
}

function facesOfTube(count) {
  const faces = [];
  for (let i = 0; i + 1 < count; i += 1) {
    for (let k = 0; k < SIDES; k += 1) {
      const a = i * SIDES + k;
      const b = i * SIDES + ((k + 1) % SIDES);
      faces.push(a, b, a + SIDES, b, b + SIDES, a + SIDES);
    }
  }
  for (const first of [0, (count - 1) * SIDES]) {
    for (let k = 1; k + 1 < SIDES; k += 1) faces.push(first, first + k, first + k + 1);
  }
  return new Uint32Array(faces);
}
