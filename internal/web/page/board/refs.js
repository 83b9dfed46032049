// Where the picture shows parts' references: labels keep off them, and a part
// that the words name gets one where its own is too small to read.

import { leastLabel, letters } from "./paint.js";
import { clear, inView } from "./room.js";

/** @import { Box } from "./room.js" */
/** @typedef {{ ref: string, at: [number, number], reach: number, asked: boolean }} Named */

const legible = 11; // CSS pixels high over an arm's length

// partBoxes gives the boxes of the references in view, and what is to be named
// beside them: first the parts that the words name, then those whose reference a
// mark stands on.
/**
 * @param {Surface} view @param {Pick<OverlayState, "behind" | "turns" | "named" | "marks">} state
 * @param {number} k @param {Box[]} stood where marks stand
 * @returns {{ boxes: Box[], tags: Named[] }}
 */
export function partBoxes(view, { behind, turns, named, marks }, k, stood) {
  /** @type {{ boxes: Box[], tags: Named[] }} */
  const out = { boxes: [], tags: [] };
  const g = view.geometry;
  if (!g) return out;
  const flagged = new Set(marks.filter((m) => m.large).map((m) => (m.text || "").split(".")[0]));
  const wanted = new Set((named || []).filter((ref) => !flagged.has(ref)));
  for (const part of g.table.Parts || []) {
    if (Boolean(part.Bottom) !== Boolean(behind)) continue;
    const b = g.boxes.subarray(4 * part.Body[0], 4 * part.Body[0] + 4);
    const at = view.screen((b[0] + b[2]) / 2, (b[1] + b[3]) / 2);
    if (!inView(view, at)) continue;
    const size = letters(part.Ref, b, view.camera.scale, turns || 0, k);
    const w = 0.62 * size * part.Ref.length + 2, h = size + 2;
    const box = { x: at[0] - w / 2, y: at[1] - h / 2, w, h, cost: 40 }, written = size >= leastLabel;
    if (written) out.boxes.push(box);
    const reach = (Math.min(b[2] - b[0], b[3] - b[1]) / 2) * view.camera.scale;
    const asked = wanted.has(part.Ref), under = written && !clear(box, stood) && !flagged.has(part.Ref);
    if (asked && size < legible * k || under) out.tags.push({ ref: part.Ref, at, reach, asked });
  }
  out.tags.sort((a, b) => Number(b.asked) - Number(a.asked));
  return out;
}
