import assert from "node:assert/strict";
import test from "node:test";

import { free, overlay } from "../page/board/overlay.js";
import { named, recorder } from "./board.js";

const view = { width: 800, height: 600 };
const overlap = (a, b) => a.x + a.w >= b.x && b.x + b.w >= a.x && a.y + a.h >= b.y && b.y + b.h >= a.y;

test("a label stands on the right of its mark, or where there is room", () => {
  assert.deepEqual(free(view, 400, 300, 13, 60, 34, []), { x: 419, y: 283, w: 60, h: 34 });
  assert.equal(free(view, 780, 300, 13, 60, 34, []).x, 780 - 19 - 60);
  assert.equal(free(view, 20, 580, 13, 790, 34, []).x, 39, "no room at all: on the right");
  const corner = free(view, 790, 590, 13, 60, 34, []);
  assert.ok(corner.x + 60 <= 796 && corner.y + 34 <= 596, JSON.stringify(corner));
});

test("a label stands aslant where all four sides are taken", () => {
  const taken = [[430, 290], [360, 290], [390, 260], [390, 330]].map(([x, y]) => ({ x, y, w: 20, h: 10 }));
  assert.deepEqual(free(view, 400, 300, 13, 60, 20, taken), { x: 419, y: 261, w: 60, h: 20 });
});

test("a label lies over no other", () => {
  const boxes = [];
  for (let n = 0; n < 4; n++) {
    const at = free(view, 400, 300, 13, 60, 34, boxes);
    assert.ok(!boxes.some((b) => overlap(at, b)), `label ${n} at ${JSON.stringify(at)}`);
    boxes.push(at);
  }
});

// drawn draws an overlay on a screen whose letters are so large.
function drawn(state, letters = 18) {
  globalThis.getComputedStyle = () =>
    ({ fontSize: `${letters}px`, getPropertyValue: (name) => name.replace("--board-", "") });
  globalThis.devicePixelRatio = 1;
  const ctx = recorder({ ...view, ownerDocument: { documentElement: {} } });
  overlay(ctx, { camera: { x: 0, y: 0, scale: 1e-4 }, screen: (x, y) => [400 + x * 1e-4, 300 - y * 1e-4] },
    { marks: [], ring: null, ...state });
  return ctx;
}

test("the ring of the answer is as large as its radius, and never too small to see", () => {
  const radii = (radius, letters) =>
    named(drawn({ ring: { x: 0, y: 0, radius, text: "" } }, letters), "arc").map((a) => a[2]);
  assert.deepEqual(radii(1e6), [100]);
  assert.deepEqual(radii(1e4), [9]);
  assert.deepEqual(radii(1e4, 36), [18]);
});

test("red is a filled disc and black an open ring, so that they differ without colour", () => {
  const fills = (lead) =>
    drawn({ marks: [{ x: 0, y: 0, lead, large: true }] }).calls.filter(([name]) => name === "fill").map((c) =>
      c.at(-1).fillStyle);
  assert.deepEqual(fills("red"), ["tag", "red-lead", "tag"]);
  assert.deepEqual(fills("black"), ["tag", "black-lead"]);
});

test("every place touched has its number, every place to touch its name, none over another place", () => {
  const marks = [
    { x: 0, y: 0, lead: "red", large: true, text: "R1.1" },
      { x: 4e5, y: 0, lead: "black", large: true, text: "R1.2" },
    { x: 0, y: 1e6, lead: "red", sign: "1" },
  ];
  const ctx = drawn({ marks });
  assert.deepEqual(named(ctx, "fillText").map(([text]) => text), ["1", "R1.1", "R1.2"]);
  const [, red, black] = named(ctx, "roundRect").map(([x, y, w, h]) => ({ x, y, w, h }));
  const place = (m) => ({ x: 400 + m.x * 1e-4 - 13, y: 300 - 13, w: 26, h: 26 });
  assert.ok(!overlap(red, black) && !overlap(red, place(marks[1])) && !overlap(black, place(marks[0])));
});
