// Moves a picture that was drawn for one view under another.

import { Lie, between } from "./lie.js";

/** @import { Picture } from "./canvas.js" */

// blit draws a picture where the camera now sees it, and tells whether it
// covers the view. With onlyIfCovers it is left out where it does not. It leaves
// its own transformation set.
/**
 * @param {CanvasRenderingContext2D} ctx @param {Picture} p @param {Point} camera
 * @param {Lie} view @param {boolean} onlyIfCovers
 */
export function blit(ctx, p, camera, view, onlyIfCovers) {
  const { width, height } = ctx.canvas;
  const [a, b, c, d] = between(new Lie(p.scale, p.behind, p.turns), view), k = Math.hypot(a, b);
  const [px, py] = view.seen(p.x - camera.x, p.y - camera.y), still = Math.abs(a - 1) < 1e-9;
  let x = width / 2 + px, y = height / 2 + py;
  const [w, h] = Math.abs(a) > Math.abs(b) ? [p.width * k, p.height * k] : [p.height * k, p.width * k];
  const covers = x <= w / 2 && y <= h / 2 && x + w / 2 >= width && y + h / 2 >= height;
  if (onlyIfCovers && !covers) return false;
  if (still) [x, y] = [Math.round(x - w / 2) + w / 2, Math.round(y - h / 2) + h / 2];
  ctx.setTransform(a, b, c, d, x, y);
  ctx.imageSmoothingEnabled = !still;
  ctx.imageSmoothingQuality = "low";
  ctx.drawImage(p.image, -p.width / 2, -p.height / 2);
  return covers;
}
