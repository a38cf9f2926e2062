// What is meant by a point on the canvas.

import { Vector3 } from "./three.js";
import { nearestLine } from "./nearest.js";

const REACH_PX = { mouse: 10, pen: 14, touch: 24 };

/** Of what a view shows, what is meant: {kind: "run" | "opening" | "device", id}, or null. */
export function meant(view, x, y, pointer) {
  const reach = REACH_PX[pointer] ?? REACH_PX.mouse;
  const near = (point, size) => {
    const spot = view.onScreen(point);
    return spot && Math.hypot(spot[0] - x, spot[1] - y) <= size ? spot[2] : null;
  };
  const device = view.devices
    .map((one) => ({ id: one.device.id, away: near(new Vector3().fromArray(one.place), Math.max(8, reach * 0.6)) }))
    .filter((one) => one.away !== null)
    .sort((a, b) => a.away - b.away)[0];
  if (device) return { kind: "device", id: device.id };
  const lines = view.runs
    .filter((one) => one.mesh.visible)
    .map((one) => ({ id: one.run.id, points: view.lineOnScreen(one.run.id) }));
  const run = nearestLine(lines, x, y, reach);
  if (run !== null) return { kind: "run", id: run };
  const ring = view.rings
    .filter((one) => one.visible)
    .map((one) => {
      const spot = view.onScreen(one.middle);
      const off = spot ? Math.hypot(spot[0] - x, spot[1] - y) : Infinity;
      return { id: one.ring.id, off, size: spot ? one.reach / (view.aim.pixel * spot[2]) : 0 };
    })
    .filter((one) => one.off <= Math.max(one.size, reach))
    .sort((a, b) => a.off - b.off)[0];
  return ring ? { kind: "opening", id: ring.id } : null;
}
