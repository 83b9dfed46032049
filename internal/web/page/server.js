// What the page says to the server. Every answer is JSON; an error is thrown
// with its code, words and hint.

export class Refused extends Error {
  constructor(trouble) {
    super(trouble.what);
    Object.assign(this, trouble);
  }
}

async function ask(path, init) {
  let r;
  try {
    r = await fetch(path, init);
  } catch {
    throw new Refused({ code: "lost", what: "The bench does not answer.", hint: "Is ohmward bench still running? What was confirmed is kept." });
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

export const get = async (path) => (await ask(path)).json();
export const getBlock = async (path) => (await ask(path)).arrayBuffer();
export const post = async (path, body) =>
  (await ask(path, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) })).json();

// bring sends a board: files with their paths in the folder.
export async function bring(name, files) {
  const form = new FormData();
  form.append("name", name);
  for (const { path, file } of files) form.append("file", file, path);
  return (await ask("/api/boards", { method: "POST", body: form })).json();
}

// follow listens to a case; it reconnects by itself, also after the server
// was started anew.
export function follow(id, on) {
  const s = new EventSource(`/api/cases/${id}/events`);
  s.addEventListener("view", (e) => on.view(JSON.parse(e.data)));
  s.addEventListener("live", (e) => on.live(JSON.parse(e.data)));
  s.addEventListener("open", () => on.lost(false));
  let again = 0;
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
