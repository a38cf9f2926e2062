// What is picked, said over the picture, and the way back to the picture from far below.

const told = new WeakMap();

/** Say what is picked: a title, lines, and buttons [text, act]; an empty title says nothing. Said again, it stays as it stands. */
export function tellIn(readout, title, lines = [], buttons = []) {
  const words = JSON.stringify([title, lines, buttons.map(([text]) => text)]);
  const before = told.get(readout);
  const acts = buttons.map(([, act]) => act);
  if (before?.words === words) {
    before.acts = acts;
    return;
  }
  const now = { words, acts };
  told.set(readout, now);
  readout.replaceChildren();
  readout.hidden = !title;
  if (!title) return;
  const part = (name, text) => {
    const made = document.createElement(name);
    made.textContent = text;
    return made;
  };
  const bar = document.createElement("div");
  bar.className = "bar";
  bar.append(...buttons.map(([text], i) => {
    const button = part("button", text);
    button.type = "button";
    button.className = "small";
    button.addEventListener("click", () => now.acts[i]());
    return button;
  }));
  readout.append(part("b", title), ...lines.map((line) => part("span", line)), bar);
}

/** On a narrow screen the picture is soon far up: a button leads there while wanted() says so. Gives what to call when that may have changed. */
export function useWayUp(button, picture, canvas, wanted) {
  let seen = true;
  const offer = () => { button.hidden = seen || !wanted(); };
  new IntersectionObserver((entries) => { seen = entries.at(-1).isIntersecting; offer(); }).observe(picture);
  button.addEventListener("click", () => { picture.scrollIntoView({ block: "start" }); canvas.focus({ preventScroll: true }); });
  return offer;
}
