// Forms about something of the plan. What is typed into one stays typed, whatever comes meanwhile; the other fields follow.

/** What a field said when nobody had touched it, or when what it says was sent. */
function given(input) {
  if (input.dataset.given !== undefined) return input.dataset.given;
  if (input.tagName !== "SELECT") return input.defaultValue;
  return ([...input.options].find((one) => one.defaultSelected) ?? input.options[0])?.value ?? "";
}

/** Whether a field says something that was not sent. */
export const touched = (input) => input.value !== given(input);

/** What fields say is sent; what is typed from now on is something else. */
export function accept(fields) {
  for (const input of Object.values(fields)) input.dataset.given = input.value;
}

/** What was sent is refused: fields go on saying it, against what fresh ones say. */
export function refuse(fields, fresh) {
  for (const [name, input] of Object.entries(fields)) input.dataset.given = given(fresh[name]);
}

function followOne(input, fresh) {
  const [typed, own] = [input.value, touched(input)];
  if (input.tagName === "SELECT") {
    const words = (select) => JSON.stringify([...select.options].map((one) => [one.value, one.textContent]));
    if (words(input) !== words(fresh)) input.replaceChildren(...fresh.cloneNode(true).options);
  }
  input.dataset.given = given(fresh);
  const wanted = own ? typed : given(fresh);
  if (input.value !== wanted) input.value = wanted;
}

/** Let fields (by name) take over what fresh ones of the same names say, but for those that somebody touched. */
export function follow(fields, fresh) {
  for (const [name, input] of Object.entries(fields)) if (fresh[name]) followOne(input, fresh[name]);
}

/** Whether the focus is in one of the fields of a form. */
export const atFields = (form) => form.contains(document.activeElement) && document.activeElement.matches("input, select, textarea");

/** What was changed and is not planned yet: an entry is shown as it was sent, until a plan of that revision is there. */
export class Ahead {
  constructor() {
    this.whose = "";
    this.sent = new Map();
  }

  /** Values of an entry were taken in at a revision; null takes a key out. */
  add(id, values, revision) {
    this.sent.set(id, { values: { ...this.sent.get(id)?.values, ...values }, revision });
  }

  /** A plan is there; whose: of which way, and of which sitting of the server. */
  reached(plan, whose = this.whose) {
    if (whose !== this.whose) this.sent.clear();
    this.whose = whose;
    for (const [id, one] of this.sent) if (one.revision <= (plan?.revision ?? 0)) this.sent.delete(id);
  }

  /** An entry as it will be. */
  of(entry) {
    const more = entry && this.sent.get(entry.id);
    if (!more) return entry;
    return Object.fromEntries(Object.entries({ ...entry, ...more.values }).filter(([, value]) => value !== null));
  }
}

/** Things that are done one after the other, each when the one before it is answered. */
export class InTurn {
  constructor() {
    this.last = Promise.resolve();
  }

  do(act) {
    this.last = this.last.then(act, act);
  }
}
