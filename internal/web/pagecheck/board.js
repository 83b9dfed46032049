// Boards made by hand, as the server packs them, and a context that writes down
// what is drawn on it.

/** pack gives the block of a table and its rings. */
export function pack(table, rings) {
  const text = new TextEncoder().encode(JSON.stringify({
    Name: "made", Origin: [0, 0], Box: [0, 0, 100, 100], Outline: [0, 0], Nets: [], Layers: [],
      Mask: [null, null],
    ...table, Rings: rings.length, Points: rings.reduce((n, r) => n + r.length, 0),
  }));
  const length = Math.ceil(text.length / 4) * 4;
  const points = rings.flat(), buffer = new ArrayBuffer(12 + length + 4 * rings.length + 8 * points.length);
  const bytes = new Uint8Array(buffer), view = new DataView(buffer);
  bytes.fill(32, 12, 12 + length);
  bytes.set(new TextEncoder().encode("OHMWART1"));
  bytes.set(text, 12);
  view.setUint32(8, length, true);
  let at = 12 + length, end = 0;
  for (const r of rings) view.setUint32((at += 4) - 4, (end += r.length), true);
  for (const [x, y] of points) {
    view.setInt32((at += 4) - 4, x, true);
    view.setInt32((at += 4) - 4, y, true);
  }
  return buffer;
}

/** square gives a ring around a middle. */
export const square = (x, y, half) =>
  [[x - half, y - half], [x + half, y - half], [x + half, y + half], [x - half, y + half]];

/** recorder gives a context whose calls are kept: [name, ...arguments]. */
export function recorder(canvas = { width: 800, height: 600 }) {
  const calls = [], state = { canvas };
  return new Proxy({ calls, state }, {
    get(_, name) {
      if (name === "calls") return calls;
      if (name in state) return state[name];
      if (name === "measureText") return (text) => ({ width: 10 * text.length });
      return (...given) => { calls.push([name, ...given, { ...state }]); };
    },
    set(_, name, value) {
      state[name] = value;
      return true;
    },
  });
}

/** named gives the calls of one name, without the state they were made in. */
export const named = (ctx, name) => ctx.calls.filter((c) => c[0] === name).map((c) => c.slice(1, -1));
