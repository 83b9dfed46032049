// Sounds: a tick when a value was taken, a tone that follows the resistance
// while reworking, and two rising notes when it opens. All made here.

/** @type {AudioContext | null} */
let context = null;
/** @type {{ o: OscillatorNode, g: GainNode } | null} */
let tone = null;

export const wanted = () => localStorage.getItem("sound") !== "off";
/** @param {boolean} yes */
export function want(yes) {
  localStorage.setItem("sound", yes ? "on" : "off");
  if (!yes) quiet();
}

function audio() {
  if (!wanted()) return null;
  try {
    context ||= new AudioContext();
  } catch {
    return null;
  }
  if (context.state === "suspended") context.resume().catch(() => {});
  return context.state === "running" ? context : null;
}
for (const e of ["pointerdown", "keydown"]) addEventListener(e, () => audio(),
  { capture: true, passive: true });

/** @param {number} frequency @param {number} at @param {number} long */
function note(frequency, at, long, loud = 0.12) {
  const a = audio();
  if (!a) return;
  const o = a.createOscillator(), g = a.createGain(), t = a.currentTime + at;
  o.frequency.value = frequency;
  g.gain.setValueAtTime(0, t);
  g.gain.linearRampToValueAtTime(loud, t + 0.012);
  g.gain.exponentialRampToValueAtTime(0.0008, t + long);
  o.connect(g).connect(a.destination);
  o.start(t);
  o.stop(t + long + 0.02);
}

export const taken = () => { note(740, 0, 0.12); note(988, 0.09, 0.2); };
export const step = () => note(523, 0, 0.12, 0.07);
export const opened = () => { note(587, 0, 0.25); note(880, 0.2, 0.6); };

// live gives the tone while reworking: higher as the resistance rises.
/** @param {Live} l @param {boolean} rework */
export function live(l, rework) {
  if (!rework) return quiet();
  const a = audio();
  if (!a) return;
  if (!tone) {
    tone = { o: a.createOscillator(), g: a.createGain() };
    tone.o.type = "triangle";
    tone.g.gain.value = 0.03;
    tone.o.connect(tone.g).connect(a.destination);
    tone.o.start();
  }
  tone.o.frequency.setTargetAtTime(180 * 2 ** (3 * l.share), a.currentTime, 0.05);
}

export function quiet() {
  if (!tone) return;
  tone.o.stop();
  tone = null;
}
