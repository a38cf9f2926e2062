// What the page shows follows the plan while somebody is at it: an element stays while what it shows stays, and the focus with
// it. Whatever is drawn anew under a hand takes its key strokes away.

const held = new WeakMap();
const inside = (one) => [one, ...one.querySelectorAll("*")];

/** Do something to a holder's elements; what had the focus has it again, or if it is gone what stands in its place. */
function withFocus(holder, act) {
  const focus = holder.contains(document.activeElement) ? document.activeElement : null;
  const at = [...holder.children].findIndex((one) => one.contains(focus));
  act();
  if (!focus || holder.contains(document.activeElement)) return;
  const next = holder.children[Math.min(at, holder.children.length - 1)];
  (focus.isConnected ? focus : next?.querySelector("button, input, a[href]"))?.focus({ preventScroll: true });
}

/** Put an element in another's place; the focus goes to what stands there for what had it. */
export function swap(old, fresh) {
  const at = old.contains(document.activeElement) ? inside(old).indexOf(document.activeElement) : -1;
  old.replaceWith(fresh);
  if (at >= 0) inside(fresh)[at]?.focus({ preventScroll: true });
}

/** Fill a holder with an element for each item; those whose item is as it was stay. Keys have to be unique. */
export function fill(holder, items, keyOf, elementOf) {
  const before = held.get(holder) ?? new Map();
  const after = new Map(items.map((item) => [keyOf(item), { item, text: JSON.stringify(item) }]));
  withFocus(holder, () => {
    for (const [key, { element }] of before) if (!after.has(key)) element.remove();
    let next = holder.firstElementChild;
    for (const [key, one] of after) {
      const known = before.get(key);
      one.element = known?.text === one.text ? known.element : elementOf(one.item);
      if (known && known.element !== one.element) {
        if (next === known.element) next = one.element;
        swap(known.element, one.element);
      }
      if (one.element === next) next = next.nextElementSibling;
      else holder.insertBefore(one.element, next);
    }
  });
  held.set(holder, after);
}
