// What the page says to the server. Every answer is JSON; an error is thrown
// with its code, words and hint.

export class Refused extends Error {
  /** @param {Trouble} trouble */
  constructor(trouble) {
    super(trouble.what);
    this.code = trouble.code;
    this.hint = trouble.hint;
  }
}

/** @param {string} path @param {RequestInit} [init] */
async function ask(path, init) {
  let r;
  try {
    r = await fetch(path, init);
  } catch {
    throw new Refused({ code: "lost", what: "The bench does not answer.",
      hint: "Is ohmward bench still running? What was confirmed is kept." });
  }
  if (r.ok) return r;
  let trouble;
  try {
    trouble = (await r.json()).error;
  } catch {
    trouble = { code: "bad", what: `The bench answered ${r.status}.`, hint: "Reload the page." };
  }
  throw new Refused(trouble);
}

/** @param {string} path */
export const get = async (path) => (await ask(path)).json();
/** @param {string} path */
export const getBlock = async (path) => (await ask(path)).arrayBuffer();
/** @param {string} path @param {object} body */
export const post = async (path, body) =>
  (await ask(path, { method: "POST", headers: { "Content-Type": "application/json" },
    body: JSON.stringify(body) })).json();

// bring sends a board: files with their paths in the folder.
/** @param {string} name @param {FileOfBoard[]} files @returns {Promise<Begun>} */
export async function bring(name, files) {
  const form = new FormData();
  form.append("name", name);
  for (const { path, file } of files) form.append("file", file, path);
  return (await ask("/api/boards", { method: "POST", body: form })).json();
}

// follow listens to a case; it reconnects by itself, also after the server
// was started anew.
/**
 * @param {string} id
 * @param {{ view(v: View): void, live(l: Live): void, lost(is: boolean): void, gone(): void }} on
 */
export function follow(id, on) {
  const s = new EventSource(`/api/cases/${id}/events`);
  s.addEventListener("view", (e) => { // first of all after a stream opens: only then the page is true again
    on.view(JSON.parse(e.data));
    on.lost(false);
  });
  s.addEventListener("live", (e) => on.live(JSON.parse(e.data)));
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let again;
  s.addEventListener("error", () => {
    on.lost(true);
    if (s.readyState !== EventSource.CLOSED) return;
    clearTimeout(again); // refused for good, as for a case that is gone
    again = setTimeout(() => on.gone(), 800);
  });
  return () => {
    clearTimeout(again);
    s.close();
  };
}
