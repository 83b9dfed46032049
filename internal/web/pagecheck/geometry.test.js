import assert from "node:assert/strict";
import test from "node:test";

import { decode } from "../page/board/geometry.js";
import { pack, square } from "./board.js";

const rings = [square(50, 50, 40), square(50, 50, 10), square(150, 50, 20)];
const board = (table) =>
  decode(pack({ Layers: [{ Name: "L1", Polygons: [0, 0, 2, 1, 2, 1] }], ...table }, rings));

test("a block is decoded into its table, rings and boxes", () => {
  const g = board({ Name: "RL-40" });
  assert.equal(g.table.Name, "RL-40");
  assert.deepEqual([...g.ends], [4, 8, 12]);
  assert.deepEqual([g.start(0), g.start(1), g.start(2)], [0, 4, 8]);
  assert.deepEqual([...g.boxes], [10, 10, 90, 90, 40, 40, 60, 60, 130, 30, 170, 70]);
  assert.deepEqual([...g.xy.subarray(0, 4)], [10, 10, 90, 10]);
});

test("a block that is none is refused in words", () => {
  const wrong = pack({}, []);
  new Uint8Array(wrong)[7] = 50;
  for (const b of [wrong, new ArrayBuffer(4)]) assert.throws(() => decode(b), /reload the page/);
});

test("a point is inside a polygon, not in its hole, and not beside it", () => {
  const g = board({});
  for (const [x, y, is] of [[20, 20, true], [50, 50, false], [41, 39, true], [95, 50, false], [50, 9, false],
    [89, 89, true]]) {
    assert.equal(g.inside(0, 2, x, y), is, `${x}, ${y}`);
  }
});

test("copper under a point is of its polygon's net; copper of no net is none", () => {
  const g = board({});
  assert.equal(g.netAt(0, 20, 20), 0);
  assert.equal(g.netAt(0, 150, 50), 1);
  assert.equal(g.netAt(0, 50, 50), -1);
  assert.equal(board({ Layers: [{ Name: "L1", Polygons: [-1, 0, 2] }] }).netAt(0, 20, 20), -1);
  assert.equal(board({ Layers: [{ Name: "L1", Polygons: null }] }).netAt(0, 20, 20), -1);
});

test("the pad of a tap is the nearest on the layer within reach", () => {
  const pad = (Pin, Layer, x, y) => ({ Pin, Net: 0, Layer, At: [x, y] });
  const g = board({ Pads: [pad("R1.1", 0, 10, 10), pad("R1.2", 0, 20, 10), pad("C1.1", 1, 16, 10)] });
  assert.equal(g.padAt(0, 16, 10, 20)?.Pin, "R1.2");
  assert.equal(g.padAt(1, 16, 10, 20)?.Pin, "C1.1");
  assert.equal(g.padAt(0, 16, 10, 3), null);
  assert.equal(g.padAt(0, 16, 10, 4)?.Pin, "R1.2");
});
