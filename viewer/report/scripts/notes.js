// What is ticked and typed: kept in this browser under the plan's key, and saved to a file when asked for.

const PREFIX = "ribway page ";

/** Ticks and figures of one plan. */
export class Notes {
  constructor(plan, onState) {
    this.plan = plan;
    this.onState = onState;
    this.values = {};
    try {
      this.values = JSON.parse(localStorage.getItem(PREFIX + plan.key) ?? "{}");
    } catch {
      this.values = {};
    }
    if (typeof this.values !== "object" || this.values === null) this.values = {};
  }

  /** Put what is kept into the fields of a plan's tables, and keep what is changed there. */
  fill(section) {
    for (const field of section.querySelectorAll("[data-note]")) {
      const value = Object.hasOwn(this.values, field.dataset.note) ? this.values[field.dataset.note] : undefined;
      if (field.type === "checkbox") field.checked = value === true;
      else field.value = typeof value === "string" ? value : "";
    }
    section.addEventListener("input", (event) => {
      const field = event.target.closest("[data-note]");
      if (field) this.set(field.dataset.note, field.type === "checkbox" ? field.checked : field.value.trim());
    });
  }

  set(name, value) {
    if (value === "" || value === false) delete this.values[name];
    else this.values[name] = value;
    try {
      localStorage.setItem(PREFIX + this.plan.key, JSON.stringify(this.values));
      this.onState(`Kept in this browser: ${Object.keys(this.values).length}.`);
    } catch {
      this.onState("This browser keeps nothing: save to a file before the page is closed.");
    }
  }

  /** As text of a file, "csv" or "json". */
  text(kind) {
    const { name, alternative, revision, date, units, key } = this.plan;
    const rows = Object.entries(this.values).map(([path, value]) => ({ ...parted(path), value }));
    rows.sort((a, b) => `${a.table} ${a.id}`.localeCompare(`${b.table} ${b.id}`, "en", { numeric: true }));
    if (kind === "json") {
      return `${JSON.stringify({ plan: { name, alternative, revision, date, units, key }, notes: rows }, null, 1)}\n`;
    }
    const head = ["plan", "alternative", "revision", "table", "about", "what", "value"];
    const lines = rows.map((row) => [
      name, alternative, revision, row.table, row.id, row.what, row.value === true ? "yes" : row.value,
    ]);
    return `\ufeff${[head, ...lines].map((line) => line.map(field).join(",")).join("\r\n")}\r\n`;
  }
}

/** Table, row and meaning of a note's name. */
export function parted(path) {
  const first = path.indexOf("/");
  const last = path.lastIndexOf("/");
  return { table: path.slice(0, first), id: path.slice(first + 1, last), what: path.slice(last + 1) };
}

/** A field of a CSV file; one that a spreadsheet would take for a formula is made text. */
export function field(value) {
  let text = String(value);
  if (/^[=+\-@\t\r]/.test(text) && Number.isNaN(Number(text.replace(",", ".")))) text = `'${text}`;
  return /[",;\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

/** Hand a text to the browser as a file. */
export function saveFile(name, text, type) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([text], { type }));
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(link.href), 10000);
}

/** A name that every file system takes. */
export function fileName(plan, ending) {
  const words = `${plan.name} ${plan.alternative} notes`.toLowerCase().replace(/[^a-z0-9]+/g, "-");
  return `${words.replace(/^-+|-+$/g, "").slice(0, 80)}.${ending}`;
}
