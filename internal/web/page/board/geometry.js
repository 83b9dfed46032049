// The board's geometry as the server packs it (Go package internal/artwork):
// rings of nanometre integers in flat arrays, and a table that says what each
// ring is. Lengths are nanometres from the table's origin, y up.

const magic = "OHMWART1";

// decode reads one block (an ArrayBuffer) into a Geometry.
/** @param {ArrayBuffer} buffer */
export function decode(buffer) {
  const bytes = new Uint8Array(buffer);
  if (bytes.length < 12 || new TextDecoder().decode(bytes.subarray(0, 8)) !== magic) {
    throw new Error("the board's drawing is not one that this page knows: reload the page");
  }
  const length = new DataView(buffer).getUint32(8, true);
  /** @type {DrawingTable} */
  const table = JSON.parse(new TextDecoder().decode(bytes.subarray(12, 12 + length)));
  const ends = new Uint32Array(buffer, 12 + length, table.Rings);
  const xy = new Int32Array(buffer, 12 + length + 4 * table.Rings, 2 * table.Points);
  return new Geometry(table, ends, xy);
}

// Geometry holds the rings with the box of each.
export class Geometry {
  /** @param {DrawingTable} table @param {Uint32Array} ends @param {Int32Array} xy */
  constructor(table, ends, xy) {
    this.table = table;
    this.ends = ends;
    this.xy = xy;
    this.boxes = new Int32Array(4 * ends.length);
    for (let r = 0; r < ends.length; r++) this.#measure(r);
  }

  /** @param {number} ring */
  start(ring) {
    return ring === 0 ? 0 : this.ends[ring - 1];
  }

  /** @param {number} ring */
  #measure(ring) {
    let x0 = Infinity, y0 = Infinity, x1 = -Infinity, y1 = -Infinity;
    for (let i = this.start(ring); i < this.ends[ring]; i++) {
      const x = this.xy[2 * i], y = this.xy[2 * i + 1];
      if (x < x0) x0 = x;
      if (x > x1) x1 = x;
      if (y < y0) y0 = y;
      if (y > y1) y1 = y;
    }
    this.boxes.set([x0, y0, x1, y1], 4 * ring);
  }

  // inside tells whether a point lies inside a polygon: rings first..first+n-1.
  /** @param {number} first @param {number} n @param {number} x @param {number} y */
  inside(first, n, x, y) {
    const b = this.boxes, k = 4 * first;
    if (x < b[k] || x > b[k + 2] || y < b[k + 1] || y > b[k + 3]) return false;
    let odd = false;
    for (let r = first; r < first + n; r++) {
      if (this.#crossings(r, x, y)) odd = !odd;
    }
    return odd;
  }

  // crossings tells whether a ray to the right crosses a ring an odd number
  // of times.
  /** @param {number} ring @param {number} x @param {number} y */
  #crossings(ring, x, y) {
    const b = this.boxes, k = 4 * ring;
    if (x > b[k + 2] || y < b[k + 1] || y > b[k + 3]) return false;
    let odd = false;
    const from = this.start(ring), to = this.ends[ring], xy = this.xy;
    for (let i = from, j = to - 1; i < to; j = i++) {
      const yi = xy[2 * i + 1], yj = xy[2 * j + 1];
      if (yi > y === yj > y) continue;
      const at = xy[2 * i] + ((y - yi) / (yj - yi)) * (xy[2 * j] - xy[2 * i]);
      if (x < at) odd = !odd;
    }
    return odd;
  }

  // netAt gives the number of the net whose copper is at a point of a layer,
  // or -1.
  /** @param {number} layer @param {number} x @param {number} y */
  netAt(layer, x, y) {
    const p = this.table.Layers[layer].Polygons || [];
    for (let i = 0; i < p.length; i += 3) {
      if (p[i] >= 0 && this.inside(p[i + 1], p[i + 2], x, y)) return p[i];
    }
    return -1;
  }

  // padAt gives the pad nearest to a point on a layer, within a distance.
  /**
   * @param {number} layer @param {number} x @param {number} y @param {number} within
   * @returns {DrawingPad | null}
   */
  padAt(layer, x, y, within) {
    /** @type {DrawingPad | null} */
    let best = null;
    let least = within;
    for (const pad of this.table.Pads || []) {
      if (pad.Layer !== layer) continue;
      const d = Math.hypot(pad.At[0] - x, pad.At[1] - y);
      if (d <= least) [best, least] = [pad, d];
    }
    return best;
  }
}

// alike tells whether two drawings lie in one frame.
/** @param {DrawingTable} a @param {DrawingTable} b */
export const alike = (a, b) => `${a.Origin} ${a.Box}` === `${b.Origin} ${b.Box}`;
