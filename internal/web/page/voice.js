// Speech, where the browser has a voice of its own and the person wants it.

export const possible = () => typeof speechSynthesis !== "undefined" &&
  speechSynthesis.getVoices().length > 0;
export const wanted = () => localStorage.getItem("voice") === "on";

/** @param {boolean} yes */
export function want(yes) {
  localStorage.setItem("voice", yes ? "on" : "off");
  if (!yes) quiet();
}

// aloud writes a text as a voice has to read it: pins as letters and figures,
// "C9" as "C 9", and units in full.
/** @param {string} text */
export const aloud = (text) => text
  .replace(/\b([A-Z]{1,3})(\d+)\b/g, "$1 $2")
  .replace(/(?<=\d) m[ΩΩ]/g, " milliohms").replace(/(?<=\d) k[ΩΩ]/g, " kilohms")
  .replace(/(?<=\d) M[ΩΩ]/g, " megohms").replace(/(?<=\d) [ΩΩ]/g, " ohms")
  .replace(/(?<=\d) mm\b/g, " millimetres").replace(/(?<=\d) °C/g, " degrees");

/** @param {string} text */
export function say(text, always = false) {
  if (!text || !(always || wanted()) || typeof speechSynthesis === "undefined") return;
  speechSynthesis.cancel();
  const u = new SpeechSynthesisUtterance(aloud(text));
  u.lang = "en";
  speechSynthesis.speak(u);
}

export function quiet() {
  if (typeof speechSynthesis !== "undefined") speechSynthesis.cancel();
}
