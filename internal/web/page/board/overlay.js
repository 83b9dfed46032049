// The overlay is what stays crisp in every frame: the ring of the answer, the
// places touched already (small numbers) and the two places to touch next
// (large, a filled disc for the red lead, an open ring for the black one, so
// that they differ without colour).

// overlay draws over a view. Marks: { x, y, lead: "red"|"black", sign, text,
// large }; ring: { x, y, radius, text }; lengths are nanometres.
export function overlay(ctx, view, { marks, ring }) {
  const of = getComputedStyle(ctx.canvas);
  const ink = (name) => of.getPropertyValue("--board-" + name).trim() || "#000";
  const k = Math.max(1, parseFloat(getComputedStyle(ctx.canvas.ownerDocument.documentElement).fontSize) / 18); // on a large screen all is larger
  const inks = { k, heat: ink("heat"), red: ink("red-lead"), black: ink("black-lead"), paper: ink("tag"), words: ink("words") };
  if (ring) drawRing(ctx, view, ring, inks);
  const boxes = marks.filter((m) => m.large).map((m) => { // no label over another place
    const [x, y] = view.screen(m.x, m.y), r = 13 * k;
    return { x: x - r, y: y - r, w: 2 * r, h: 2 * r };
  });
  for (const m of marks) if (!m.large) small(ctx, view, m, inks);
  for (const m of marks) if (m.large) large(ctx, view, m, inks, boxes);
}

function drawRing(ctx, view, ring, inks) {
  const [x, y] = view.screen(ring.x, ring.y);
  const r = Math.max(9 * inks.k, ring.radius * view.camera.scale);
  ctx.beginPath();
  ctx.arc(x, y, r, 0, 2 * Math.PI);
  ctx.lineWidth = 6 * inks.k;
  ctx.strokeStyle = inks.paper;
  ctx.stroke();
  ctx.lineWidth = 3 * inks.k;
  ctx.strokeStyle = inks.heat;
  ctx.stroke();
}

function small(ctx, view, m, inks) {
  const [x, y] = view.screen(m.x, m.y), k = inks.k;
  ctx.beginPath();
  ctx.arc(x, y, 4 * k, 0, 2 * Math.PI);
  ctx.fillStyle = m.lead === "red" ? inks.red : inks.paper;
  ctx.fill();
  ctx.lineWidth = 2;
  ctx.strokeStyle = m.lead === "red" ? inks.paper : inks.black;
  ctx.stroke();
  if (!m.sign) return;
  ctx.font = `600 ${12 * k}px system-ui, sans-serif`;
  tag(ctx, x + 7 * k, y - 20 * k, m.sign, inks.paper, inks.words, 3 * k, 17 * k);
}

function large(ctx, view, m, inks, boxes) {
  const [x, y] = view.screen(m.x, m.y), red = m.lead === "red", k = inks.k, r = 13 * k;
  ctx.beginPath();
  ctx.arc(x, y, r + 3 * k, 0, 2 * Math.PI);
  ctx.fillStyle = inks.paper;
  ctx.fill();
  ctx.beginPath();
  ctx.arc(x, y, r, 0, 2 * Math.PI);
  if (red) {
    ctx.fillStyle = inks.red;
    ctx.fill();
  }
  ctx.lineWidth = 4 * k;
  ctx.strokeStyle = red ? inks.red : inks.black;
  ctx.stroke();
  ctx.beginPath();
  ctx.arc(x, y, 2.5 * k, 0, 2 * Math.PI);
  ctx.fillStyle = red ? inks.paper : inks.black;
  ctx.fill();
  if (!m.text) return;
  ctx.font = `700 ${18 * k}px system-ui, sans-serif`;
  const at = free(ctx, view, x, y, r, ctx.measureText(m.text).width + 20 * k, 34 * k, boxes);
  tag(ctx, at.x, at.y, m.text, inks.paper, red ? inks.red : inks.black, 10 * k, 34 * k);
}

// free finds room for a label of w × h beside a mark: right, left, above,
// below or aslant, the first that lies in the view and over no other label or
// mark.
function free(ctx, view, x, y, r, w, h, boxes) {
  const dpr = devicePixelRatio || 1, W = ctx.canvas.width / dpr, H = ctx.canvas.height / dpr, gap = r + 6;
  const tries = [[x + gap, y - h / 2], [x - gap - w, y - h / 2], [x - w / 2, y - gap - h], [x - w / 2, y + gap], [x + gap, y - gap - h], [x + gap, y + gap], [x - gap - w, y - gap - h], [x - gap - w, y + gap]];
  const fits = ([a, b]) => a >= 4 && b >= 4 && a + w <= W - 4 && b + h <= H - 4 &&
    boxes.every((o) => a + w < o.x || o.x + o.w < a || b + h < o.y || o.y + o.h < b);
  const [a, b] = tries.find(fits) || tries[0];
  boxes.push({ x: a, y: b, w, h });
  return { x: a, y: b };
}

// tag writes text on a small plate with its corner at x, y.
function tag(ctx, x, y, text, plate, words, pad, height) {
  const w = ctx.measureText(text).width + 2 * pad;
  ctx.beginPath();
  ctx.roundRect(x, y, w, height, 4);
  ctx.fillStyle = plate;
  ctx.fill();
  ctx.lineWidth = 1;
  ctx.strokeStyle = words;
  ctx.stroke();
  ctx.fillStyle = words;
  ctx.textAlign = "left";
  ctx.textBaseline = "middle";
  ctx.fillText(text, x + pad, y + height / 2 + 1);
}
