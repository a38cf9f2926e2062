// Where the tape is held: a small drawing for each line, with the line that is meant drawn thick.

const SVG = "http://www.w3.org/2000/svg";
const SECTION = "M22 104 L14 62 L28 20 Q80 4 132 20 L146 62 L138 104 Z";
const SIDE = "M10 86 L10 24 Q14 12 30 12 L214 12 L214 86 Z";
const RIBS = [34, 62, 90, 118, 146, 174, 200];

/** Drawing by key of a tape's line: outline, thin lines beside it, and the measured lines [x1, y1, x2, y2]. */
const DRAWN = {
  length: { of: SIDE, measured: [[10, 94, 214, 94]], thin: ribs() },
  floor_width: { of: SECTION, measured: [[22, 104, 138, 104]] },
  waist_width: { of: SECTION, measured: [[14, 62, 146, 62]] },
  waist_height: { of: SECTION, measured: [[34, 104, 34, 62]], thin: [[14, 62, 146, 62]] },
  roof_edge_width: { of: SECTION, measured: [[28, 20, 132, 20]] },
  roof_edge_height: { of: SECTION, measured: [[38, 104, 38, 20]], thin: [[28, 20, 132, 20]] },
  centre_height: { of: SECTION, measured: [[80, 104, 80, 12]] },
  ribs_left: { of: SIDE, measured: RIBS.map((x, i) => [10, 80 - 9 * i, x, 80 - 9 * i]), thin: ribs() },
  ribs_right: { of: SIDE, measured: RIBS.map((x, i) => [10, 80 - 9 * i, x, 80 - 9 * i]), thin: ribs() },
  side_door: { of: SIDE, measured: [[10, 94, 34, 94], [10, 102, 90, 102]], thin: [[34, 18, 34, 86], [90, 18, 90, 86], [34, 18, 90, 18]] },
  wheel_arch: { of: SIDE, measured: [[10, 94, 118, 94], [118, 102, 174, 102], [182, 86, 182, 60]], thin: [[118, 86, 124, 62], [124, 62, 168, 60], [168, 60, 174, 86]] },
  rib: { of: "M10 96 L60 96 L60 46 L120 46 L120 96 L200 96", open: true, measured: [[134, 96, 134, 46], [60, 34, 120, 34]] },
};

function ribs() {
  return RIBS.map((x) => [x, 12, x, 86]);
}

function drawn(name, given) {
  const found = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(given)) found.setAttribute(key, value);
  return found;
}

/** The drawing for a line of the tape; null if there is none. */
export function tapeDrawing(key) {
  const one = DRAWN[key];
  if (!one) return null;
  const line = ([x1, y1, x2, y2], name) => drawn("line", { x1, y1, x2, y2, class: name });
  const ends = ([x1, y1, x2, y2]) => {
    const [dx, dy] = y1 === y2 ? [0, 5] : [5, 0];
    return [line([x1 - dx, y1 - dy, x1 + dx, y1 + dy], "end"), line([x2 - dx, y2 - dy, x2 + dx, y2 + dy], "end")];
  };
  const svg = drawn("svg", { class: "taped", viewBox: one.of === SECTION ? "0 0 160 112" : "0 0 224 112", "aria-hidden": "true" });
  svg.append(drawn("path", { d: one.of, class: one.open ? "sheet" : "body" }), ...(one.thin ?? []).map((each) => line(each, "thin")),
    ...one.measured.flatMap((each) => [line(each, "tape"), ...ends(each)]));
  return svg;
}
