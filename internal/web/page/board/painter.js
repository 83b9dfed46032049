// The painter draws the still part of the board into bitmaps, in a worker of
// its own so that a gesture never waits for it.

import { decode } from "./geometry.js";
import { Board, paint } from "./paint.js";

const page = /** @type {Worker} */ (/** @type {unknown} */ (self));

/** @type {Board | null} */
let board = null;

// Jobs wait in a queue by their channel: a newer job of a channel replaces
// one that has not begun.
/** @type {Map<string, PaintJob>} */
const waiting = new Map();
let busy = false;

function work() {
  const next = waiting.values().next();
  if (next.done || !board) {
    busy = false;
    return;
  }
  const { channel, id, width, height } = next.value;
  waiting.delete(channel);
  const canvas = new OffscreenCanvas(width, height);
  const ctx = canvas.getContext("2d", { alpha: false });
  if (!ctx) throw new Error("this browser gives no canvas to draw on");
  paint(ctx, board, next.value);
  const image = canvas.transferToImageBitmap();
  page.postMessage({ channel, id, image }, [image]);
  setTimeout(work);
}

page.onmessage = ({ data }) => {
  if (data.board) {
    board = new Board(decode(data.board));
    waiting.clear();
    page.postMessage({ ready: true });
    return;
  }
  if (!board) return;
  waiting.delete(data.channel);
  waiting.set(data.channel, data);
  if (!busy) {
    busy = true;
    setTimeout(work);
  }
};
