import assert from "node:assert/strict";
import test from "node:test";

import { marksOf, pinsOf } from "../page/marks.js";

const at = (x, y) => [x * 1e6, y * 1e6];
const place = (pin, x, more) =>
  ({ place: pin, part: pin.split(".")[0], words: pin, net: "N" + x, side: "top", x_mm: x, y_mm: 0, ...more });
const view = (more) => ({ readings: [], target: null, ...more });

test("tips are marked by their lead, with pin and net", () => {
  const target = { red: place("C9.1", 1), black: place("C9.2", 2, { side: "both" }) };
  const marks = marksOf(view({ target }), at);
  assert.deepEqual(marks.map((m) => [m.lead, m.text, m.note, m.side, Boolean(m.clip)]),
    [["red", "C9.1", "red, N1", "top", false], ["black", "C9.2", "black, N2", "both", false]]);
});

test("four-wire marks are four, clips first, all told apart in words", () => {
  const target = { kind: "four-wire", red: place("R1.1", 1), black: place("R1.2", 2),
    clip_red: place("J1.1", 3), clip_black: place("J1.2", 4) };
  const marks = marksOf(view({ target }), at);
  assert.deepEqual(marks.map((m) => [m.text, m.lead, Boolean(m.clip)]),
    [["J1.1", "red", true], ["J1.2", "black", true], ["R1.1", "red", false], ["R1.2", "black", false]]);
  assert.equal(new Set(marks.map((m) => m.note)).size, 4);
  assert.ok(marks.slice(0, 2).every((m) => m.note.startsWith("first: ") && m.note.includes("clip")));
});

test("a reading's dots have the colours of its tips, whichever place was named first", () => {
  const reading = (n, from_black) =>
    ({ n, from_black, from_x_mm: 1, from_y_mm: 0, to_x_mm: 2, to_y_mm: 0,
      from_side: "top", to_side: "bottom" });
  const marks = marksOf(view({ readings: [reading(0, false), reading(1, true)] }), at);
  assert.deepEqual(marks.map((m) => [m.sign, m.lead, m.side]),
    [["1", "red", "top"], ["1", "black", "bottom"], ["2", "black", "top"], ["2", "red", "bottom"]]);
});

test("the pins nearest to a tip are numbered, and pin 1; the tip's own and other parts' are not", () => {
  const pad = (Pin, x) => ({ Pin, Net: 0, Layer: 0, At: [x * 1e6, 0] });
  const Pads = [pad("U10.1", 0), pad("C9.2", 5)];
  for (let n = 1; n <= 40; n++) Pads.push(pad("U1." + n, n));
  const target = { red: place("U1.40", 40), black: place("TP3.1", 90) };
  const pins = pinsOf(view({ target }), { Origin: [0, 0], Pads });
  assert.deepEqual(pins.map((p) => p.text).slice(0, 3), ["1", "39", "38"]);
  assert.ok(pins[0].first && !pins[1].first && pins.length === 15);
  assert.ok(!pins.some((p) => p.text === "40" || p.x === 5e6));
});
