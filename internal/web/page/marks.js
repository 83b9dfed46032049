// What is marked on the board for a state of the case: the places to touch and
// those that were, and the pins around the places to touch.

const nearPins = 14; // of a part, nearest to a place to touch, that are numbered

/** @typedef {(x: number, y: number) => [number, number]} ToDrawing */

// marksOf lists the marks, clips before tips: they are put on first.
/** @param {View} v @param {ToDrawing} at @returns {Mark[]} */
export function marksOf(v, at) {
  /** @type {Mark[]} */
  const out = [];
  /** @param {number} x @param {number} y @param {Lead} lead @param {Partial<Mark>} more */
  const mark = (x, y, lead, more) => { const [a, b] = at(x, y); out.push({ x: a, y: b, lead, ...more }); };
  for (const r of v.readings) {
    const sign = String(r.n + 1), from = r.from_black ? "black" : "red";
    mark(r.from_x_mm, r.from_y_mm, from, { sign, side: r.from_side });
    mark(r.to_x_mm, r.to_y_mm, from === "red" ? "black" : "red", { sign, side: r.to_side });
  }
  const t = v.target;
  if (!t) return out;
  /** @param {Place} s @param {Lead} lead @param {Partial<Mark>} more */
  const large = (s, lead, more) => mark(s.x_mm, s.y_mm, lead,
    { text: s.place.includes("@") ? s.part || "here" : s.place, large: true, side: s.side, ...more });
  if (t.clip_red && t.clip_black) {
    large(t.clip_red, "red", { clip: true, note: `first: red clip, ${t.clip_red.net}` });
    large(t.clip_black, "black", { clip: true, note: `first: black clip, ${t.clip_black.net}` });
    large(t.red, "red", { note: `then: red tip, ${t.red.net}` });
    large(t.black, "black", { note: `then: black tip, ${t.black.net}` });
    return out;
  }
  large(t.red, "red", { note: `red, ${t.red.net}` });
  large(t.black, "black", { note: `black, ${t.black.net}` });
  return out;
}

// pinsOf lists pins of the parts at the places to touch: the nearest to them,
// and pin 1. A place to touch bears its own name already.
/** @param {View} v @param {DrawingTable} table @returns {PinMark[]} */
export function pinsOf(v, table) {
  const t = v.target;
  if (!t) return [];
  const spots = [t.clip_red, t.clip_black, t.red, t.black].filter((s) => s !== undefined && s !== null);
  /** @type {Map<string, PinMark & { far: number }>} */
  const out = new Map();
  for (const s of spots) {
    if (!s.part) continue;
    const x = s.x_mm * 1e6 - table.Origin[0], y = s.y_mm * 1e6 - table.Origin[1];
    const pins = (table.Pads || []).filter((p) => p.Pin.startsWith(s.part + ".") &&
      spots.every((o) => o.place !== p.Pin)).map((p) => ({ pin: p.Pin, x: p.At[0], y: p.At[1],
      text: p.Pin.slice(String(s.part).length + 1), far: Math.hypot(p.At[0] - x, p.At[1] - y) }));
    pins.sort((a, b) => a.far - b.far);
    for (const [n, p] of pins.entries()) {
      const first = p.text === "1" || p.text === "A1";
      if (n < nearPins || first) out.set(p.pin, { x: p.x, y: p.y, text: p.text, far: p.far, first });
    }
  }
  return [...out.values()].sort((a, b) => Number(b.first) - Number(a.first) || a.far - b.far);
}
