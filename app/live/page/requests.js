// The line to the server: what is asked of it goes out in turn, and what it says by itself comes in.

import { NO_ANSWER, ask } from "./ask.js";

const AGAIN_MS = 2000;
/** What has to be there for a request to make sense, when its turn has come. */
const NEEDS = { "/undo": "undo", "/redo": "redo", "/save": "unsaved" };

/** Requests that change something: each goes out when all before it are answered, on the state that the one before it left. */
export class Requests {
  /** state() is how things stand; take(state) takes in an answer's, say(words) says what went wrong, settle() is called after each. */
  constructor(state, take, say, settle) {
    Object.assign(this, { state, take, say, settle });
    this.pending = 0;
    this.last = Promise.resolve();
  }

  inTurn(act) {
    this.pending += 1;
    this.say("");
    const done = this.last.then(act).finally(() => {
      this.pending -= 1;
      this.settle();
    });
    this.last = done.catch(() => {});
    return done;
  }

  /** Ask at once; an error in words if it is refused. */
  async now(path, body = {}) {
    try {
      this.take(await ask(path, { revision: this.state().revision, ...body }));
    } catch (error) {
      if (error.state) this.take(error.state);
      throw error;
    }
  }

  /** Ask, and say what is refused. To stop waits for nothing. */
  async send(path, body) {
    const act = async () => {
      if (!NEEDS[path] || this.state()[NEEDS[path]]) await this.now(path, body);
    };
    try {
      await (path === "/stop" ? act() : this.inTurn(act));
    } catch (error) {
      this.say(error.message);
    }
  }
}

/** Hear what the server says; a browser that gives it up, as it does where something else answers, tries again. */
export function listen(take, lost, back) {
  const events = new EventSource("/events");
  events.onmessage = (event) => take(JSON.parse(event.data));
  events.onopen = back;
  events.onerror = () => {
    lost(NO_ANSWER);
    if (events.readyState === EventSource.CLOSED) setTimeout(() => listen(take, lost, back), AGAIN_MS);
  };
}
