// Speech, where the browser has a voice of its own and the person wants it.

export const possible = () => typeof speechSynthesis !== "undefined" &&
  speechSynthesis.getVoices().length > 0;
export const wanted = () => localStorage.getItem("voice") === "on";

/** @param {boolean} yes */
export function want(yes) {
  localStorage.setItem("voice", yes ? "on" : "off");
  if (!yes) quiet();
}

/** @param {string} text */
export function say(text, always = false) {
  if (!text || !(always || wanted()) || typeof speechSynthesis === "undefined") return;
  speechSynthesis.cancel();
  // Pins are read as letters and figures: "C9" as "C 9".
  const u = new SpeechSynthesisUtterance(text.replace(/\b([A-Z]{1,3})(\d+)\b/g, "$1 $2"));
  u.lang = "en";
  speechSynthesis.speak(u);
}

export function quiet() {
  if (typeof speechSynthesis !== "undefined") speechSynthesis.cancel();
}
