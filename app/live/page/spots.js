// From a point on the metal to a place as a tape gives it, in the user's units, and the other way round.

const INCH = 0.0254;
const QUARTERS = 4;

/** A length [m] as it is typed: to the centimetre, or to the quarter inch. */
export function lengthText(metres, units) {
  if (units === "metric") return `${(Math.round(metres * 100) / 100).toFixed(2)} m`;
  const quarters = Math.round((metres / INCH) * QUARTERS);
  const feet = Math.floor(quarters / (12 * QUARTERS));
  const rest = quarters - feet * 12 * QUARTERS;
  const whole = Math.floor(rest / QUARTERS);
  const part = ["", "1/4", "1/2", "3/4"][rest % QUARTERS];
  const inches = part ? (whole || feet ? `${whole} ${part}` : part) : `${whole}`;
  return `${feet ? `${feet}' ` : ""}${inches}"`;
}

/** Which measures a wall needs. */
export function measuresOf(wall) {
  if (wall === "left" || wall === "right") return ["back", "up"];
  return wall === "bulkhead" ? ["up", "across"] : ["back", "across"];
}

/** The place of a point [x, y, z] on a wall; datum: {back, up} of what the user measures from [m]. */
export function placeOf(wall, point, datum, units) {
  const [x, y, z] = point;
  const place = { wall };
  const measures = measuresOf(wall);
  if (measures.includes("back")) place.back = lengthText(Math.max(0, -x - datum.back), units);
  if (measures.includes("up")) place.up = lengthText(Math.max(0, z - datum.up), units);
  if (measures.includes("across")) place[y >= 0 ? "left" : "right"] = lengthText(Math.abs(y), units);
  return place;
}

/** A place in words. */
export function placeWords(at) {
  if (!at) return "no place yet";
  if (at.outside) return `outside: ${at.outside}`;
  if (at.on) return `on ${at.on}, ${at.across} across, ${at.up} up`;
  if (!at.wall) return ["x", "y", "z"].filter((key) => at[key]).map((key) => `${key} ${at[key]}`).join(", ");
  const words = [at.wall === "left" || at.wall === "right" ? `${at.wall} wall` : at.wall];
  if (at.back) words.push(`${at.back} back`);
  if (at.up) words.push(`${at.up} up`);
  if (at.left) words.push(`${at.left} left`);
  if (at.right) words.push(`${at.right} right`);
  return words.join(", ");
}
