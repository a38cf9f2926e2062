// Names over the picture: as many as fit without lying on each other.

const HIGH = 22;
const LETTER = 8.2;

/** Of names {text, x, y} in order of weight, those that find room; x and y [px]. */
export function withRoom(names, width, height) {
  const taken = [];
  const kept = [];
  for (const name of names) {
    const wide = name.text.length * LETTER + 10;
    const left = Math.min(Math.max(name.x + 6, 2), Math.max(2, width - wide - 2));
    const top = name.y - HIGH / 2;
    if (name.x < 0 || name.x > width || name.y < 0 || name.y > height) continue;
    const clear = taken.every((box) => left + wide < box[0] || left > box[2] || top + HIGH < box[1] || top > box[3]);
    if (!clear) continue;
    taken.push([left, top, left + wide, top + HIGH]);
    kept.push({ ...name, left, top });
  }
  return kept;
}

/** Show names in an element. */
export function showNames(holder, names) {
  holder.replaceChildren(
    ...names.map((name) => {
      const mark = document.createElement("span");
      mark.textContent = name.text;
      mark.className = name.kind;
      mark.style.left = `${name.left}px`;
      mark.style.top = `${name.top}px`;
      return mark;
    }),
  );
}
