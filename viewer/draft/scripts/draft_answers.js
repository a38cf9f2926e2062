// What was ticked and typed about openings, as the answers file that ribway reads.

const MOVES = ["forward", "left", "up"];
const NAME = /^[A-Za-z0-9](?:[A-Za-z0-9 ._-]{0,38}[A-Za-z0-9._-])?$/;
const FARTHEST = 500;

/** A field's number of millimetres; 0 for an empty one, NaN for what is none. */
export function millimetres(text) {
  const body = text.trim().replace(/\s*mm$/, "").replace(",", ".").replace("−", "-");
  return body === "" ? 0 : /^[+-]?\d+(\.\d+)?$/.test(body) ? Number(body) : NaN;
}

/** What is wrong with a typed value; empty if nothing is. */
export function wrong(what, text) {
  if (text.trim() === "") return "";
  if (what === "rename") return NAME.test(text.trim()) ? "" : "1 to 40 letters, digits, blanks, dots, dashes, underscores";
  const value = millimetres(text);
  if (Number.isNaN(value)) return "a number of millimetres, like 3 or -2.5";
  return Math.abs(value) > FARTHEST ? `${FARTHEST} mm at most` : "";
}

/** What is said of a hole: its own mark in the draft, or what was ticked here. */
export function sayOf(hole, values) {
  if (values[`hole/${hole.id}/confirm`] === true) return "confirmed";
  if (values[`hole/${hole.id}/delete`] === true) return "deleted";
  return hole.mark;
}

/** The answers as text of a file. */
export function answersText(name, holes, values) {
  const openings = [];
  for (const hole of holes) {
    const value = (what) => values[`hole/${hole.id}/${what}`];
    const answer = { name: hole.id };
    if (value("confirm") === true) answer.say = "confirm";
    else if (value("delete") === true) answer.say = "delete";
    if (value("free") === true && answer.say === "delete") answer.free = true;
    if (value("rename") && answer.say !== "delete") answer.rename = value("rename").trim();
    const moves = MOVES.map((what) => [what, millimetres(value(what) ?? "")]).filter(([, by]) => Number.isFinite(by) && by !== 0);
    if (moves.length) answer.move = Object.fromEntries(moves.map(([what, by]) => [what, `${by} mm`]));
    if (Object.keys(answer).length > 1) openings.push(answer);
  }
  const lines = openings.map((one) => ` ${JSON.stringify(one)}`).join(",\n");
  return `{"ribway_answers": 1, "draft": ${JSON.stringify(name)}, "openings": [\n${lines}\n]}\n`;
}
