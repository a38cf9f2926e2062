// Which drawn line is meant by a point on the screen.

const ALIKE_PX = 3;

/** Distance [px] of a point from a stretch on the screen, and how far along it the nearest spot is, 0 to 1. */
export function fromStretch(x, y, ax, ay, bx, by) {
  const dx = bx - ax;
  const dy = by - ay;
  const size = dx * dx + dy * dy;
  const share = size > 0 ? Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / size)) : 0;
  return [Math.hypot(x - ax - share * dx, y - ay - share * dy), share];
}

/**
 * The line that is meant: the nearest on the screen, and of those about as near the one in front.
 *
 * lines: {id, points: [[x, y, depth] or null, ...]}, null for a point that is not seen; reach: how far off it may be [px].
 * Returns the id, or null.
 */
export function nearestLine(lines, x, y, reach) {
  const found = [];
  for (const line of lines) {
    let best = null;
    for (let i = 0; i + 1 < line.points.length; i += 1) {
      const a = line.points[i];
      const b = line.points[i + 1];
      if (!a || !b) continue;
      const [off, share] = fromStretch(x, y, a[0], a[1], b[0], b[1]);
      if (off <= reach && (!best || off < best.off)) best = { id: line.id, off, depth: a[2] + share * (b[2] - a[2]) };
    }
    if (best) found.push(best);
  }
  if (!found.length) return null;
  const least = Math.min(...found.map((one) => one.off));
  const front = found.filter((one) => one.off <= least + ALIKE_PX).sort((a, b) => a.depth - b.depth);
  return front[0].id;
}
