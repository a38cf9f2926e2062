// Requests to the server, and small things of the page.

export const NO_ANSWER = "The server does not answer: is ribway serve still running? Nothing is lost; this page goes on by itself when it is back.";

/** Send a request; the answer's state, or an error with what is wrong in words. */
export async function ask(path, body = {}) {
  const answer = await fetch(path, {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(body),
  }).catch(() => { throw new Error(NO_ANSWER); });
  const kind = answer.headers.get("content-type") ?? "";
  const data = kind.includes("json") ? await answer.json() : { words: (await answer.text()).trim() };
  if (answer.ok) return data;
  const error = new Error(data.words ?? "the server did not understand this");
  error.state = data.state;
  error.stale = answer.status === 409;
  throw error;
}

/** JSON from the server; null where there is none. */
export async function fetched(path) {
  const answer = await fetch(path);
  return answer.ok ? answer.json() : null;
}

/** An element with attributes, listeners (on...), and children. */
export function make(name, given = {}, ...children) {
  const found = document.createElement(name);
  for (const [key, value] of Object.entries(given)) {
    if (key.startsWith("on")) found.addEventListener(key.slice(2), value);
    else if (key === "text") found.textContent = value;
    else if (value === true) found.setAttribute(key, "");
    else if (value !== false && value !== null && value !== undefined) found.setAttribute(key, value);
  }
  found.append(...children.filter((child) => child !== null && child !== undefined));
  return found;
}

/** A labelled field. */
export function field(label, input, wide = false) {
  return make("label", { class: wide ? "whole" : false }, make("span", { text: label }), input);
}

/** A choice of words; the chosen one is given. */
export function choice(name, words, chosen) {
  return make("select", { name }, ...words.map((word) => {
    const [value, text] = Array.isArray(word) ? word : [word, word];
    return make("option", { value, text, selected: value === chosen });
  }));
}

/** Let a form do something when it is sent; sent again before that is done, it does nothing more. */
export function once(form, act) {
  let busy = false;
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    if (busy) return;
    busy = true;
    await act().finally(() => { busy = false; });
  });
}
