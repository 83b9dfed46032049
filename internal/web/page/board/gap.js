// The close-up's ink: a bar between the two places that touch, and the circle of
// the answer.

/** @import { Lie } from "./lie.js" */

/**
 * @param {HTMLCanvasElement} canvas @param {Camera} camera @param {Lie} lie device pixels per nanometre
 * @param {{ ends: [number, number][], radius: number }} place nanometres
 */
export function gap(canvas, camera, lie, { ends, radius }) {
  const ctx = canvas.getContext("2d"), dpr = devicePixelRatio || 1;
  if (!ctx) return;
  const of = getComputedStyle(canvas);
  const [a, b] = ends.map(([x, y]) => {
    const [px, py] = lie.seen(x - camera.x, y - camera.y);
    return [canvas.width / 2 + px, canvas.height / 2 + py];
  });
  const mid = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2], r = Math.max(radius * camera.scale * dpr, 9 * dpr);
  ctx.lineCap = "round";
  for (const { width, ink } of [{ width: 6, ink: "--board-tag" }, { width: 3, ink: "--board-heat" }]) {
    ctx.strokeStyle = of.getPropertyValue(ink);
    ctx.lineWidth = width * dpr;
    ctx.beginPath();
    ctx.moveTo(a[0], a[1]);
    ctx.lineTo(b[0], b[1]);
    ctx.stroke();
    ctx.beginPath();
    ctx.arc(mid[0], mid[1], r, 0, 2 * Math.PI);
    ctx.stroke();
  }
}
