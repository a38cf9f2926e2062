// Where a line of sight meets the metal.

const EPSILON = 1e-12;

/** Distance along a ray to a triangle mesh [in lengths of the direction]: every hit, with its unit normal.
 *
 * origin, direction: arrays of 3; points: Float32Array of triples; faces: indices of triangles.
 */
export function hits(origin, direction, points, faces) {
  const found = [];
  const [ox, oy, oz] = origin;
  const [dx, dy, dz] = direction;
  for (let f = 0; f < faces.length; f += 3) {
    const a = 3 * faces[f];
    const b = 3 * faces[f + 1];
    const c = 3 * faces[f + 2];
    const e1x = points[b] - points[a];
    const e1y = points[b + 1] - points[a + 1];
    const e1z = points[b + 2] - points[a + 2];
    const e2x = points[c] - points[a];
    const e2y = points[c + 1] - points[a + 1];
    const e2z = points[c + 2] - points[a + 2];
    // Möller and Trumbore, "Fast, minimum storage ray/triangle intersection", 1997.
    const px = dy * e2z - dz * e2y;
    const py = dz * e2x - dx * e2z;
    const pz = dx * e2y - dy * e2x;
    const det = e1x * px + e1y * py + e1z * pz;
    if (Math.abs(det) < EPSILON) continue;
    const tx = ox - points[a];
    const ty = oy - points[a + 1];
    const tz = oz - points[a + 2];
    const u = (tx * px + ty * py + tz * pz) / det;
    if (u < 0 || u > 1) continue;
    const qx = ty * e1z - tz * e1y;
    const qy = tz * e1x - tx * e1z;
    const qz = tx * e1y - ty * e1x;
    const v = (dx * qx + dy * qy + dz * qz) / det;
    if (v < 0 || u + v > 1) continue;
    const t = (e2x * qx + e2y * qy + e2z * qz) / det;
    if (t <= 0) continue;
    const nx = e1y * e2z - e1z * e2y;
    const ny = e1z * e2x - e1x * e2z;
    const nz = e1x * e2y - e1y * e2x;
    const size = Math.hypot(nx, ny, nz) || 1;
    found.push({ t, normal: [nx / size, ny / size, nz / size] });
  }
  return found;
}
