import assert from "node:assert/strict";
import test, { beforeEach, mock } from "node:test";

import { gestures } from "../page/board/gesture.js";

// A surface at (100, 50) of the page, and what its gestures did.
let element, did;

beforeEach(() => {
  element = new EventTarget();
  element.getBoundingClientRect = () => ({ left: 100, top: 50 });
  element.setPointerCapture = () => {};
  did = [];
  const note = (name) => (...given) => { did.push([name, ...given.map((x) => Math.round(1e6 * x) / 1e6)]); };
  gestures(element, { start: note("start"), end: note("end"), drag: note("drag"), zoom: note("zoom"),
    tap: note("tap") });
});

// send lets a pointer do something at a place of the surface and a time in ms.
function send(type, x, y, at, more = {}) {
  const e = new Event(type, { cancelable: true });
  const fields = { clientX: 100 + x, clientY: 50 + y, timeStamp: at, pointerId: 1, pointerType: "touch",
    button: 0, ...more };
  for (const [name, value] of Object.entries(fields)) Object.defineProperty(e, name, { value });
  element.dispatchEvent(e);
  return e;
}

const taps = () => did.filter(([name]) => name === "tap");

test("a short press that hardly slips is a tap, and moves nothing", () => {
  send("pointerdown", 30, 40, 1000);
  send("pointermove", 36, 40, 1100);
  send("pointerup", 36, 40, 1499);
  assert.deepEqual(did, [["start"], ["end"], ["tap", 36, 40]]);
});

test("a long press is no tap", () => {
  send("pointerdown", 30, 40, 1000);
  send("pointerup", 30, 40, 1500);
  assert.deepEqual(did, [["start"], ["end"]]);
});

test("a finger that slips drags: from there on by as much as it moves", () => {
  send("pointerdown", 30, 40, 0);
  send("pointermove", 35, 40, 10);
  send("pointermove", 35, 44, 20);
  send("pointermove", 45, 41, 30);
  send("pointerup", 45, 41, 40);
  assert.deepEqual(did, [["start"], ["drag", 0, 4], ["drag", 10, -3], ["end"]]);
});

test("two fingers zoom about their middle and drag it; they never tap", () => {
  send("pointerdown", 0, 0, 0);
  send("pointerdown", 20, 0, 1, { pointerId: 2 });
  send("pointermove", 40, 0, 2, { pointerId: 2 });
  send("pointerup", 40, 0, 3, { pointerId: 2 });
  send("pointerup", 0, 0, 4);
  assert.deepEqual(did, [["start"], ["drag", 10, 0], ["zoom", 2, 20, 0], ["end"]]);
});

test("fingers too close to tell a scale only drag", () => {
  send("pointerdown", 0, 0, 0);
  send("pointerdown", 8, 0, 1, { pointerId: 2 });
  send("pointermove", 9, 0, 2, { pointerId: 2 });
  assert.deepEqual(did, [["start"], ["drag", 0.5, 0]]);
});

test("a press that is cancelled is no tap; another button is none at all", () => {
  send("pointerdown", 0, 0, 0);
  send("pointercancel", 0, 0, 1);
  send("pointerdown", 0, 0, 2, { pointerType: "mouse", button: 2 });
  send("pointerup", 0, 0, 3, { pointerType: "mouse", button: 2 });
  assert.deepEqual(did, [["start"], ["end"]]);
  assert.equal(taps().length, 0);
});

test("the wheel zooms about the pointer, by pixels, lines or pages alike, within bounds", () => {
  const turned = (deltaY, deltaMode) => {
    did.length = 0;
    const e = send("wheel", 10, 20, 0, { deltaY, deltaMode });
    assert.ok(e.defaultPrevented);
    assert.deepEqual(did[0], ["start"]);
    assert.deepEqual(did[1].slice(2), [10, 20]);
    return did[1][1];
  };
  const rounded = (x) => Math.round(1e6 * x) / 1e6;
  assert.equal(turned(-40, 0), rounded(Math.exp(0.1)));
  assert.equal(turned(-2.5, 1), rounded(Math.exp(0.1)));
  assert.equal(turned(-0.1, 2), rounded(Math.exp(0.1)));
  assert.equal(turned(1e6, 0), rounded(Math.exp(-0.75)));
  assert.equal(turned(-1e6, 2), rounded(Math.exp(0.75)));
});

test("turning the wheel ends 60 ms after the last turn", () => {
  mock.timers.enable({ apis: ["setTimeout"] });
  try {
    send("wheel", 0, 0, 0, { deltaY: 10, deltaMode: 0 });
    mock.timers.tick(59);
    send("wheel", 0, 0, 59, { deltaY: 10, deltaMode: 0 });
    mock.timers.tick(59);
    assert.ok(!did.some(([name]) => name === "end"));
    mock.timers.tick(1);
    assert.deepEqual(did.at(-1), ["end"]);
  } finally {
    mock.timers.reset();
  }
});

test("a double click zooms in twice as far there", () => {
  send("dblclick", 7, 8, 0);
  assert.deepEqual(did, [["zoom", 2, 7, 8], ["end"]]);
});
