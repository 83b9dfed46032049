// What each person sets for this browser, and what was read of the board.

import { h } from "./dom.js";
import { drawFigures } from "./ask.js";
import { drawFiles, drawSettled } from "./doubts.js";
import * as sound from "./sound.js";
import * as voice from "./voice.js";

/** @import { Job } from "./job.js" */

/** @param {Settings} s @param {Job} job */
export function drawSettings(s, job) {
  /** @param {string} words @param {boolean} on @param {(yes: boolean) => void} set */
  const toggle = (words, on, set) =>
    h("button", { role: "switch", "aria-checked": String(on), "data-key": words,
      onclick: () => { set(!on); job.redraw(); } }, words, h("small", {}, on ? "on" : "off"));
  /** @param {keyof Foot} what @param {string} words */
  const key = (what, words) => h("button", { "data-key": what, onclick: () => job.keys.learn(what) }, words,
    h("small", {}, s.learning === what ? "press it now" : s.foot[what]
      ? `key ${s.foot[what] === " " ? "Space" : s.foot[what]}` : "not set"));
  return [h("details", { "data-hold": "sound" },
    h("summary", { "data-key": "sound" }, "Sound, voice, foot-switch"),
    h("div", { class: "row left" }, toggle("Sounds", s.sound, sound.want),
      toggle("Speak", s.voice, voice.want), key("main", "Foot: go on"), key("undo", "Foot: take back"),
      key("doubt", "Foot: doubt the last reading")),
    h("p", { class: "quiet" }, h("kbd", {}, "Enter"), " or ", h("kbd", {}, "Space"), " does the main thing, ",
      h("kbd", {}, "Backspace"), " takes back, ", h("kbd", {}, "T"), " turns the board, ",
      h("kbd", {}, "F"), " fits it, ", h("kbd", {}, "S"), " says it again, ", h("kbd", {}, "D"),
        " doubts the last reading, ", h("kbd", {}, "R"), " touches its places again, ",
      h("kbd", {}, "Alt"), " and a digit does the other things on offer, digits begin a value."),
    h("p", { class: "quiet" }, `Meter: ${s.meter}.`)),
  s.board && drawFigures(s.board.figures, job),
  s.board && h("details", { "data-hold": "what-read" },
    h("summary", { "data-key": "what-read" }, "What was read"),
    h("p", {}, `${s.board.name}: ${[s.board.size, `${s.board.layers} copper layers`, `${s.board.nets} nets`,
      `${s.board.parts} parts`].filter(Boolean).join(", ")}.`),
    s.board.said.length ? h("p", {}, `Read as you said: ${s.board.said.join("; ")}.`) : null,
    s.board.said.length ? h("button", { "data-key": "as-read", onclick: () => job.act({ do: "as-read" }) },
      "Read it as the files say") : null,
    drawFiles(s.board, job), drawSettled(s.board.doubts.filter((d) => d.settled), job),
    h("p", { class: "quiet" }, "The case file is ", h("code", {}, `cases/${s.id}/case.toml`),
      " in the folder that ohmward bench printed; ohmward locate reads the same."))];
}
