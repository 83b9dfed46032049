// Pairing: sends the typed code; when it is right, the bench opens.

import { byId } from "./dom.js";

const form = byId("form"), why = byId("why"), code = /** @type {HTMLInputElement} */ (byId("code"));

form.addEventListener("submit", async (e) => {
  e.preventDefault();
  why.textContent = "";
  try {
    const r = await fetch("/pair",
      { method: "POST", headers: { "Content-Type": "application/json" },
        body: JSON.stringify({ code: code.value.trim() }) });
    if (r.ok) return location.replace("/");
    why.textContent = (await r.json()).error.what;
  } catch {
    why.textContent = "The bench does not answer. Is it still running, and this tablet on its network?";
  }
  code.select();
});
