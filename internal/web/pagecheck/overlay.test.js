import assert from "node:assert/strict";
import test from "node:test";

import { overlay } from "../page/board/overlay.js";
import { room } from "../page/board/room.js";
import { named, recorder } from "./board.js";

const view = { width: 800, height: 600 };
const overlap = (a, b) => a.x + a.w >= b.x && b.x + b.w >= a.x && a.y + a.h >= b.y && b.y + b.h >= a.y;

test("a label stands on the right of its mark, or where there is room", () => {
  assert.deepEqual(room(view, 400, 300, 13, 60, 34, []), { x: 419, y: 283, w: 60, h: 34 });
  assert.equal(room(view, 780, 300, 13, 60, 34, []).x, 780 - 19 - 60);
  assert.equal(room(view, 20, 580, 13, 790, 34, []).x, 39, "no room at all: on the right");
  const corner = room(view, 790, 590, 13, 60, 34, []);
  assert.ok(corner.x + 60 <= 796 && corner.y + 34 <= 596, JSON.stringify(corner));
});

test("a label stands aslant where all four sides are taken", () => {
  const taken = [[430, 290], [360, 290], [390, 260], [390, 330]].map(([x, y]) => ({ x, y, w: 20, h: 10 }));
  assert.deepEqual(room(view, 400, 300, 13, 60, 20, taken), { x: 419, y: 261, w: 60, h: 20 });
});

test("a label lies over no other", () => {
  const boxes = [];
  for (let n = 0; n < 4; n++) {
    const at = room(view, 400, 300, 13, 60, 34, boxes);
    assert.ok(!boxes.some((b) => overlap(at, b)), `label ${n} at ${JSON.stringify(at)}`);
    boxes.push(at);
  }
});

test("a label stands farther off before it covers a designator, and covers one before a target", () => {
  const near = [[420, 270], [300, 270], [390, 240], [390, 330], [420, 240], [420, 330], [300, 240],
    [300, 330]].map(([x, y]) => ({ x, y, w: 70, h: 40, cost: 40 }));
  const at = room(view, 400, 300, 13, 60, 20, near);
  assert.ok(!near.some((b) => overlap(at, b)), JSON.stringify(at));
  const all = [{ x: 0, y: 0, w: 800, h: 600, cost: 40 }, { x: 410, y: 0, w: 390, h: 600, cost: 500 }];
  assert.ok(room(view, 400, 300, 13, 60, 20, all).x + 60 < 410);
});

const geometry = (parts = []) => ({ boxes: Int32Array.from(parts.flatMap((p) => p.box)),
  table: { Parts: parts.map((p, i) => ({ Ref: p.ref, Bottom: p.bottom, Body: [i, 1] })) } });

// drawn draws an overlay on a screen whose letters are so large.
function drawn(state, letters = 18, parts = [], view = { width: 800, height: 600 }) {
  globalThis.getComputedStyle = () =>
    ({ fontSize: `${letters}px`, getPropertyValue: (name) => name.replace("--board-", "") });
  globalThis.devicePixelRatio = 1;
  const ctx = recorder({ ...view, ownerDocument: { documentElement: {} } });
  ctx.canvas.ownerDocument.documentElement = {};
  overlay(ctx, { ...view, geometry: geometry(parts), camera: { x: 0, y: 0, scale: 1e-4 },
    screen: (x, y) => [400 + x * 1e-4, 300 - y * 1e-4] }, { marks: [], ring: null, ...state });
  return ctx;
}

const texts = (ctx) => named(ctx, "fillText").map(([text]) => text);
const plates = (ctx) => named(ctx, "roundRect").map(([x, y, w, h]) => ({ x, y, w, h }));

test("the ring of the answer is as large as its radius, and never too small to see", () => {
  const radii = (radius, letters) =>
    named(drawn({ ring: { x: 0, y: 0, radius, text: "" } }, letters), "arc").map((a) => a[2]);
  assert.deepEqual(radii(1e6), [100]);
  assert.deepEqual(radii(1e4), [9]);
  assert.deepEqual(radii(1e4, 36), [18]);
});

const tip = (lead, more) => ({ x: 0, y: 0, lead, large: true, text: "C9.1", ...more });

test("a place to touch is left bare: its loupe is drawn around it and never filled", () => {
  const calls = drawn({ marks: [tip("red")] }).calls;
  const loupe = calls.findIndex(([name, x, y]) => name === "arc" && x === 400 && y === 300);
  assert.ok(loupe >= 0);
  const after = calls.slice(loupe + 1);
  const end = after.findIndex(([name]) => name === "beginPath");
  assert.ok(!after.slice(0, end).some(([name]) => name === "fill"), "the loupe is filled");
  const [flag] = plates(drawn({ marks: [tip("red")] }));
  assert.ok(!overlap(flag, { x: 391, y: 291, w: 18, h: 18 }));
});

test("red's sign is filled and black's open, a tip's round and a clip's square", () => {
  const sign = (mark) => {
    const calls = drawn({ marks: [mark] }).calls, plate = calls.findIndex(([name]) => name === "roundRect");
    const after = calls.slice(plate).filter(([name]) => ["arc", "rect", "fill", "stroke"].includes(name))
      .map(([name]) => name);
    return after.slice(2, 4).join(" "); // after the plate's own fill and stroke
  };
  assert.equal(sign(tip("red")), "arc fill");
  assert.equal(sign(tip("black")), "arc stroke");
  assert.equal(sign(tip("red", { clip: true })), "rect fill");
  assert.equal(sign(tip("black", { clip: true })), "rect stroke");
});

test("black is drawn as black with a rim, on any ground", () => {
  const inks = drawn({ marks: [tip("black")] }).calls.filter(([name]) => name === "stroke")
    .map((c) => c.at(-1).strokeStyle);
  assert.deepEqual(inks.slice(0, 2), ["lead-rim", "black-lead"]);
});

test("a flag says the pin and what goes there; four-wire flags are four, each with its words", () => {
  const note = ["first: red clip, +3V3", "first: black clip, GND", "then: red tip, +3V3",
    "then: black tip, GND"];
  const marks = note.map((words, i) => tip(i % 2 ? "black" : "red",
    { x: i * 4e5, text: "R" + i, note: words, clip: i < 2 }));
  const ctx = drawn({ marks });
  assert.deepEqual(texts(ctx), note.flatMap((words, i) => ["R" + i, words]));
  const flags = plates(ctx);
  assert.equal(flags.length, 4);
  for (const [i, a] of flags.entries()) {
    for (const b of flags.slice(i + 1)) assert.ok(!overlap(a, b), JSON.stringify([a, b]));
    for (const m of marks) assert.ok(!overlap(a, { x: 391 + m.x * 1e-4, y: 291, w: 18, h: 18 }));
  }
});

test("on a telephone's picture four flags cover neither each other nor a place to touch", () => {
  const small = { width: 390, height: 238 }, places = [[231, 72], [98, 182], [291, 88], [264, 58]];
  const marks = places.map(([x, y], i) => tip(i % 2 ? "black" : "red",
    { x: (x - 400) * 1e4, y: (300 - y) * 1e4, text: "TP1.1", note: "black clip GND", clip: i < 2 }));
  const flags = plates(drawn({ marks }, 16, [], small));
  for (const [i, a] of flags.entries()) {
    assert.ok(a.x >= 0 && a.y >= 0 && a.x + a.w <= 390 && a.y + a.h <= 238, JSON.stringify(a));
    for (const b of flags.slice(i + 1)) assert.ok(!overlap(a, b), JSON.stringify([a, b]));
    for (const [x, y] of places) assert.ok(!overlap(a, { x: x - 9, y: y - 9, w: 18, h: 18 }));
  }
});

test("a place on the other side is dashed and says turn over; one reached from both is not", () => {
  const seen = (side, behind) => {
    const ctx = drawn({ marks: [tip("red", { side, note: "red, +3V3" })], behind });
    return { dashed: named(ctx, "setLineDash")[0][0].length > 0, says: texts(ctx)[1] };
  };
  const away = { dashed: true, says: "other side: turn over" }, here = { dashed: false, says: "red, +3V3" };
  assert.deepEqual(seen("bottom", false), away);
  assert.deepEqual(seen("top", true), away);
  assert.deepEqual(seen("bottom", true), here);
  assert.deepEqual(seen("both", true), here);
  assert.deepEqual(seen("both", false), here);
});

test("every place touched on this side has its number, none at a place to touch", () => {
  const marks = [tip("red"), { x: 4e5, y: 0, lead: "black", sign: "1", side: "top" },
    { x: 8e5, y: 0, lead: "black", sign: "2", side: "bottom" }, { x: 1e3, y: 0, lead: "red", sign: "3" }];
  const ctx = drawn({ marks });
  assert.deepEqual(texts(ctx).filter((t) => /^\d$/.test(t)), ["1"]);
  const [number, flag] = plates(ctx);
  assert.ok(!overlap(number, flag));
});

const part = (ref, x, half, bottom = false) =>
  ({ ref, bottom, box: [x - half, -half, x + half, half] });

test("a part that the words name gets a label where its own is too small, and only on this side", () => {
  const parts = [part("C1", 1e6, 5e4), part("C2", 2e6, 5e5), part("C3", -1e6, 5e4, true),
    part("C4", -2e6, 5e4)];
  assert.deepEqual(texts(drawn({ named: ["C1", "C2", "C3"] }, 18, parts)), ["C1"]);
  assert.deepEqual(texts(drawn({ named: ["C3"], behind: true }, 18, parts)), ["C3"]);
});

test("a flag keeps off the designators", () => {
  const parts = [part("C2", 5e5, 3e5)]; // where the flag would stand
  const [flag] = plates(drawn({ marks: [tip("red")] }, 18, parts));
  const size = 18, w = 0.62 * size * 2 + 2;
  assert.ok(!overlap(flag, { x: 450 - w / 2, y: 300 - 10, w, h: 20 }), JSON.stringify(flag));
});

test("pins near a place to touch are numbered where it covers nothing, pin 1 in any case", () => {
  const pins = [{ x: 3e5, y: 0, text: "1", first: true }, { x: 0, y: 1e3, text: "2" },
    { x: 0, y: 9e5, text: "3" }];
  const all = texts(drawn({ marks: [tip("red")], pins }));
  assert.ok(all.includes("pin 1") && all.includes("3") && !all.includes("2"), String(all));
});

test("a reference that a mark stands on is written beside it, and no label covers a mark", () => {
  const part = (ref, x) => ({ ref, box: [x - 2e5, -1e5, x + 2e5, 1e5] });
  const read = (x, sign) => ({ x, y: 0, lead: "red", sign });
  const ctx = drawn({ marks: [read(0, "1"), read(4e5, "2")] }, 18,
    [part("C16", 0), part("C20", 4e5), part("C9", 2e6)]);
  const refs = texts(ctx).filter((text) => text.startsWith("C")), at = plates(ctx);
  assert.deepEqual(refs, ["C16", "C20"]);
  const marks = [400, 440].map((x) => ({ x: x - 6, y: 294, w: 12, h: 12 }));
  assert.ok(!at.some((p) => marks.some((m) => overlap(p, m))), JSON.stringify(at));
  assert.ok(!at.some((p, n) => at.some((q, o) => o < n && overlap(p, q))), JSON.stringify(at));
});

test("on a telephone labels are left out before they overlap, the parts that words name last", () => {
  const parts = [], marks = [];
  for (let n = 0; n < 49; n++) {
    const x = ((n % 7) - 3) * 4e5 - 2.05e6, y = (Math.floor(n / 7) - 3) * 4e5;
    parts.push({ ref: `C${n + 10}`, box: [x - 19e4, y - 1e5, x + 19e4, y + 1e5] });
    marks.push({ x, y, lead: "red", sign: String(n + 1) });
  }
  const ctx = drawn({ marks, named: ["C34"] }, 18, parts, { width: 390, height: 500 });
  const at = plates(ctx);
  assert.ok(texts(ctx).includes("C34"), "the part that is named");
  assert.ok(at.length > 1 && at.length < 98, `${at.length} labels`);
  assert.ok(!at.some((p, n) => at.some((q, o) => o < n && overlap(p, q))), JSON.stringify(at));
});
