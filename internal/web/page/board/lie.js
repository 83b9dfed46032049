// How a board lies before the user: turned over or not, and rotated by quarters,
// clockwise as seen from its top. A board turned over is what a hand shows that
// turns it about the vertical on the screen.

/** @import { Geometry } from "./geometry.js" */

const cosines = [1, 0, -1, 0];

export class Lie {
  /** @param {number} scale pixels per nanometre @param {boolean} behind @param {number} turns */
  constructor(scale, behind, turns) {
    const c = cosines[turns & 3], s = cosines[(turns + 3) & 3], sx = behind ? -scale : scale;
    // px = a x + c y, py = b x + d y: x and y on the board, y up; py down.
    this.a = sx * c;
    this.b = scale * s;
    this.c = sx * s;
    this.d = -scale * c;
    this.odd = turns % 2 === 1;
  }

  // seen turns a way on the board into one on the screen, in pixels.
  /** @param {number} x @param {number} y @returns {[number, number]} */
  seen(x, y) {
    return [this.a * x + this.c * y, this.b * x + this.d * y];
  }

  // back turns a way on the screen into one on the board.
  /** @param {number} px @param {number} py @returns {[number, number]} */
  back(px, py) {
    const det = this.a * this.d - this.b * this.c;
    return [(this.d * px - this.c * py) / det, (this.a * py - this.b * px) / det];
  }

  // across gives how wide and high on the screen a box of the board is, in the
  // box's own units.
  /** @param {number} w @param {number} h @returns {[number, number]} */
  across(w, h) {
    return this.odd ? [h, w] : [w, h];
  }
}

// between is the matrix that lays a picture drawn as one lie over a view of
// another; both of one side.
/** @param {Lie} picture @param {Lie} view */
export function between(picture, view) {
  const [x0, y0] = picture.back(1, 0), [x1, y1] = picture.back(0, 1);
  return [...view.seen(x0, y0), ...view.seen(x1, y1)];
}

// least and most are the scales at which a board is shown: as half of the view
// at least, and at most as fine as 5 µm a pixel, some times over.
const closest = 2e-4; // CSS pixels per nanometre: 5 µm are one pixel

/** @param {Geometry} geometry @param {Lie} lie @param {{ width: number, height: number }} view */
export function bounds(geometry, lie, { width, height }) {
  const b = geometry.table.Box, [w, h] = lie.across(b[2] - b[0] || 1, b[3] - b[1] || 1);
  return { least: 0.5 * Math.min(width / w, height / h), most: closest * (devicePixelRatio || 1) * 5 };
}
