// Gestures turn pointers, wheel and keys on an element into three moves:
// drag(dx, dy), zoom(factor, x, y) and tap(x, y), in CSS pixels from the
// element's corner. start() and end() stand around every gesture.

const tapTravel = 8; // CSS pixels a finger may slip in a tap
const tapTime = 500; // ms

/** @param {HTMLElement} element @param {Gestures} to */
export function gestures(element, to) {
  /** @type {Map<number, Point>} */
  const down = new Map(); // by pointer
  let travel = 0, began = 0, many = false;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let wheelRest;

  /** @param {MouseEvent} e */
  const place = (e) => {
    const r = element.getBoundingClientRect();
    return { x: e.clientX - r.left, y: e.clientY - r.top };
  };
  const spread = () => {
    const [a, b] = [...down.values()];
    return { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2, d: Math.hypot(a.x - b.x, a.y - b.y) };
  };

  element.addEventListener("pointerdown", (e) => {
    if (e.pointerType === "mouse" && e.button !== 0) return;
    element.setPointerCapture(e.pointerId);
    if (down.size === 0) {
      [travel, began, many] = [0, e.timeStamp, false];
      to.start();
    }
    down.set(e.pointerId, place(e));
    if (down.size > 1) many = true;
  });

  element.addEventListener("pointermove", (e) => {
    const was = down.get(e.pointerId);
    if (!was) return;
    const now = place(e);
    if (down.size === 1) {
      down.set(e.pointerId, now);
      travel += Math.hypot(now.x - was.x, now.y - was.y);
      if (travel > tapTravel) to.drag(now.x - was.x, now.y - was.y);
    } else if (down.size === 2) {
      const before = spread();
      down.set(e.pointerId, now);
      const after = spread();
      to.drag(after.x - before.x, after.y - before.y);
      if (before.d > 10 && after.d > 10) to.zoom(after.d / before.d, after.x, after.y);
    } else {
      down.set(e.pointerId, now);
    }
  });

  /** @param {PointerEvent} e */
  const up = (e) => {
    if (!down.delete(e.pointerId) || down.size > 0) return;
    to.end();
    if (e.type === "pointerup" && !many && travel <= tapTravel && e.timeStamp - began < tapTime) {
      const at = place(e);
      to.tap(at.x, at.y);
    }
  };
  element.addEventListener("pointerup", up);
  element.addEventListener("pointercancel", up);

  element.addEventListener("wheel", (e) => {
    e.preventDefault();
    const line = e.deltaMode === 1 ? 16 : e.deltaMode === 2 ? 400 : 1;
    const by = Math.max(-300, Math.min(300, e.deltaY * line));
    const at = place(e);
    to.start();
    to.zoom(Math.exp(-by / 400), at.x, at.y);
    clearTimeout(wheelRest);
    wheelRest = setTimeout(() => to.end(), 60);
  }, { passive: false });

  element.addEventListener("dblclick", (e) => {
    const at = place(e);
    to.zoom(2, at.x, at.y);
    to.end();
  });
}
