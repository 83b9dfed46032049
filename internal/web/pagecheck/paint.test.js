import assert from "node:assert/strict";
import test from "node:test";

import { decode } from "../page/board/geometry.js";
import { Board, Frame, detail, paint, pour, thin } from "../page/board/paint.js";
import { Lie, between } from "../page/board/lie.js";
import { named, pack, recorder, square } from "./board.js";

const flat = (points) => Int32Array.from(points.flat());
const thinned = (points, tol) => {
  const out = thin(flat(points), 0, points.length, tol);
  return Array.from({ length: out.length / 2 }, (_, i) => [out[2 * i], out[2 * i + 1]]);
};

test("thinning leaves out what is close to the last point or on the line, and keeps both ends", () => {
  assert.deepEqual(thinned([[0, 0], [3, 3], [50, 0], [100, 0], [100, 100]], 10),
    [[0, 0], [100, 0], [100, 100]]);
  assert.deepEqual(thinned([[0, 0], [50, 3], [100, 0]], 10), [[0, 0], [50, 3], [100, 0]]);
  assert.deepEqual(thinned([[0, 0], [50, 2], [100, 0]], 10), [[0, 0], [100, 0]]);
  assert.deepEqual(thinned([[0, 0], [1, 0], [2, 0]], 10), [[0, 0], [2, 0]]);
});

test("thinning keeps the tip of a spike that comes back on itself", () => {
  assert.deepEqual(thinned([[0, 0], [100, 0], [50, 0], [50, 90]], 10), [[0, 0], [100, 0], [50, 0], [50, 90]]);
});

test("a thinned circle stays within the tolerance of the circle", () => {
  const r = 1e6, tol = 2 ** 12, n = 4000;
  const circle = Array.from({ length: n },
    (_, i) => [r * Math.cos((2 * Math.PI * i) / n), r * Math.sin((2 * Math.PI * i) / n)].map(Math.round));
  const out = thinned(circle, tol);
  assert.ok(out.length < n / 20, `${out.length} points of ${n}`);
  for (let i = 1; i < out.length; i++) {
    const mid = Math.hypot((out[i][0] + out[i - 1][0]) / 2, (out[i][1] + out[i - 1][1]) / 2);
    assert.ok(Math.abs(mid - r) < tol, `${mid - r} nm off`);
  }
});

const job = (more) => ({
  channel: "sharp", id: 1, width: 1000, height: 1000, x: 0, y: 0, scale: 1e-4, behind: false, turns: 0,
  dpr: 1, big: 1,
  nets: [[], []], density: null, ...more,
  inks: { paper: "paper", laminate: "laminate", edge: "edge", copper: "copper", net: ["red", "black"],
    netBehind: ["red behind", "black behind"], hole: "hole", bare: "bare", part: "part", ref: "ref",
      heat: "heat" },
});

const mm = 1e6;
const made = (table, rings) =>
  new Board(decode(pack({ Box: [-5 * mm, -5 * mm, 5 * mm, 5 * mm], ...table }, rings)));

test("a frame has y up, is turned over from behind, and sees what reaches into it", () => {
  const board = made({}, [square(0, 0, 10), square(5.5 * mm, 0, 0.5 * mm), square(5.6 * mm, 0, 0.5 * mm)]);
  const f = new Frame(board, job({}));
  assert.deepEqual(f.at(0, 0), [500, 500]);
  assert.deepEqual(f.at(1 * mm, 1 * mm), [600, 400]);
  assert.deepEqual(new Frame(board, job({ behind: true })).at(1 * mm, 1 * mm), [400, 400]);
  assert.deepEqual([f.sees(0), f.sees(1), f.sees(2)], [true, true, false]);
});

test("a frame turns clockwise by quarters; turned over it is what a hand then shows", () => {
  const board = made({}, [square(5.5 * mm, 0, 0.4 * mm), square(0, 5.5 * mm, 0.4 * mm)]);
  const at = (turns, behind) => new Frame(board, job({ turns, behind, width: 1200, height: 800 }))
    .at(1 * mm, 2 * mm).map(Math.round);
  assert.deepEqual([0, 1, 2, 3].map((q) => at(q, false)), [[700, 200], [800, 500], [500, 600], [400, 300]]);
  assert.deepEqual([0, 1, 2, 3].map((q) => at(q, true)), [[500, 200], [400, 500], [700, 600], [800, 300]]);
  const sees = (turns) => { // 12 mm by 8 mm in view, across or along
    const f = new Frame(board, job({ turns, width: 1200, height: 800 }));
    return [f.sees(0), f.sees(1)];
  };
  assert.deepEqual([sees(0), sees(1)], [[true, false], [false, true]]);
});

test("a picture is laid over another view: moved, stretched and turned with it", () => {
  const picture = new Lie(2, false, 0);
  const near = (a, b) => assert.ok(a.every((x, i) => Math.abs(x - b[i]) < 1e-12), String(a));
  near(between(picture, new Lie(6, false, 0)), [3, 0, 0, 3]);
  near(between(picture, new Lie(2, false, 1)), [0, 1, -1, 0]);
  near(between(new Lie(2, true, 0), new Lie(2, true, 1)), [0, -1, 1, 0]);
  for (const lie of [picture, new Lie(3, true, 1), new Lie(3, false, 2)]) {
    near(lie.back(...lie.seen(5, 7)), [5, 7]);
  }
});

test("a frame thins to what its scale can show, and leaves fine ones as they are", () => {
  const n = 100, ring = Array.from({ length: n }, (_, i) => [i * 100, i % 2]);
  const board = made({}, [ring]);
  for (const scale of [1e-6, 1e-5, 1e-4]) {
    const { level } = new Frame(board, job({ scale }));
    assert.ok(2 ** level * scale <= detail && 2 ** (level + 1) * scale > detail,
      `level ${level} at ${scale}`);
  }
  assert.equal(board.points(0, 7).length, 2 * n);
  assert.ok(board.points(0, 10).length < n / 2);
  assert.equal(board.points(0, 10), board.points(0, 10), "thinned once");
  assert.equal(made({}, [ring.slice(0, 5)]).points(0, 20).length, 10, "five points are not worth it");
});

test("a pour reaches over more than 15 % of the board", () => {
  const { geometry } = made({}, [square(0, 0, 1.9 * mm), square(0, 0, 1.95 * mm)]);
  assert.deepEqual([pour(geometry, 0), pour(geometry, 1)], [false, true]);
});

test("copper is drawn as its net: others, then the two chosen; faint pours behind", () => {
  const rings = [square(-3 * mm, 0, 1 * mm), square(0, 0, 1 * mm), square(3 * mm, 0, 1 * mm),
    square(0, 0, 4 * mm)];
  const Layers = [{ Name: "L1", Polygons: [0, 0, 1, 1, 1, 1, 2, 2, 1] }, { Name: "L2", Polygons: [0, 3, 1] }];
  const ctx = recorder();
  paint(ctx, made({ Layers }, rings), job({ nets: [[0], [1]] }));
  const fills = ctx.calls.filter(([name, rule]) => name === "fill" &&
    rule === "evenodd").map((c) => c.at(-1));
  assert.deepEqual(fills.map((s) => s.fillStyle),
    ["laminate", "copper", "black behind", "black behind", "red behind", "red behind", "black", "black",
      "red"]);
  assert.deepEqual(fills.slice(4).map((s) => s.globalAlpha), [0.45, 1, 0.45, 1, 1]);
});

// drawn paints one ring at a scale and gives how it was traced.
function drawn(half, more) {
  const ctx = recorder();
  paint(ctx, made({ Layers: [{ Name: "L1", Polygons: [0, 0, 1] }] }, [square(0, 0, half)]), job(more));
  const outline = 1; // the board's box
  return { rects: named(ctx, "rect").length - outline, traced: named(ctx, "moveTo").length };
}

test("a ring less than a pixel across is a dot, one that covers a twentieth is nothing", () => {
  assert.deepEqual(drawn(6e3, {}), { rects: 0, traced: 1 });
  assert.deepEqual(drawn(4e3, {}), { rects: 1, traced: 0 });
  assert.deepEqual(drawn(1e3, {}), { rects: 0, traced: 0 });
});

test("a ring out of sight is not traced", () => {
  assert.deepEqual(drawn(6e3, { x: 6 * mm }), { rects: 0, traced: 0 });
});

test("a hole is drawn from 0.4 pixels of radius on, where it is in sight; a slot as a line", () => {
  const holes = (Holes) => {
    const ctx = recorder();
    paint(ctx, made({ Holes }, []), job({}));
    return { discs: named(ctx, "arc").map((a) => a[2]), slots: named(ctx, "lineTo").length };
  };
  assert.deepEqual(holes([[0, 0, 0, 0, 8e3, 1], [0, 0, 0, 0, 7.8e3, 1], [9 * mm, 0, 9 * mm, 0, 1 * mm, 1]]),
    { discs: [0.4], slots: 0 });
  assert.deepEqual(holes([[0, 0, 1 * mm, 0, 0.5 * mm, 1]]), { discs: [], slots: 1 });
});

test("a part is named where its letters are at least seven CSS pixels high", () => {
  const labels = (half, dpr) => {
    const ctx = recorder();
    const board = made({ Layers: [{ Name: "L1", Polygons: [] }],
      Parts: [{ Ref: "R1", Body: [0, 1] }, { Ref: "C1", Bottom: true, Body: [0, 1] }] },
      [square(0, 0, half)]);
    paint(ctx, board, job({ dpr }));
    return named(ctx, "fillText").map(([text]) => text);
  };
  assert.deepEqual(labels(0.08 * mm, 1), ["R1"]);
  assert.deepEqual(labels(0.07 * mm, 1), []);
  assert.deepEqual(labels(0.08 * mm, 2), []);
});

test("suspects lie under pads and references", () => {
  const ctx = recorder();
  paint(ctx, made({ Layers: [{ Name: "L1", Polygons: [] }], Mask: [[0, 1], null],
    Parts: [{ Ref: "R1", Body: [0, 1] }] }, [square(0, 0, 1 * mm)]),
    job({ density: Float64Array.from([0, 0, 1]) }));
  const order = ctx.calls.map(([name]) => ({ stroke: "stroke", strokeText: "rim", fillText: "text", arc: "dot" })[name])
    .filter(Boolean).slice(-5);
  assert.deepEqual(order, ["dot", "stroke", "stroke", "rim", "text"]);
});

test("a suspect below 0.4 % of the likeliest is not drawn, the likelier are larger and denser", () => {
  const ctx = recorder();
  paint(ctx, made({}, []),
    job({ density: Float64Array.from([0, 0, 0.5, 1e5, 0, 0.0019, 2e5, 0, 0.125, 9 * mm, 0, 0.5]) }));
  const dots = ctx.calls.filter(([name]) => name === "arc");
  assert.equal(dots.length, 2);
  assert.ok(dots[0][3] > dots[1][3]);
  assert.deepEqual(dots.map((c) => Math.round(100 * c.at(-1).globalAlpha)), [92, 32]);
});
