// The newest plan of a way: asked for whenever the server says that there is another, one request at a time.

import { fetched } from "./ask.js";

const AGAIN_MS = 1000;

/** A way's plan and, if it is not the metal that is known, its metal; null for both where the server has not got them (any more). */
async function planOf(name, known) {
  const found = await fetched(`/plan?alternative=${encodeURIComponent(name)}`);
  if (!found || found.metal === known) return [found, null];
  const metal = await fetched(`/metal/${found.metal}`);
  return metal ? [found, metal] : [null, null];
}

export class Newest {
  /** wanted() says what is to be shown: {number, name, known}, known being the metal that is there, name null for no plan; null to
   * leave what is shown. show(plan, metal) shows it. */
  constructor(wanted, show) {
    this.wanted = wanted;
    this.show = show;
    this.shown = "";
    this.asking = false;
  }

  /** Show the plan that is wanted, if another one is shown. */
  async follow() {
    if (this.asking) return;
    this.asking = true;
    try {
      for (let next = this.wanted(); next && next.number !== this.shown; next = this.wanted()) {
        const { number, name, known } = next;
        const [plan, metal] = name === null ? [null, null] : await planOf(name, known).catch(() => [null, null]);
        if (number !== this.wanted()?.number) continue;
        if (name !== null && !plan) {
          setTimeout(() => this.follow(), AGAIN_MS);
          break;
        }
        this.shown = number;
        this.show(plan, metal);
      }
    } finally {
      this.asking = false;
    }
  }
}
