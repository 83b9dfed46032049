// Reads Gerber files with an independent library (npm: gerber-parser,
// gerber-plotter; MIT) and writes what it sees, one JSON object to a line and
// file: flashes, the library's own box, its warnings, its tools and the
// objects in painting order. Lengths are in the file's unit; "mm" is what one
// unit is.
//
//   node second-reader.js FOLDER-WITH-node_modules FILE...
//
// Objects: {dark, tool, at} a flash; {dark, width, way} a round stroke along
// places; {dark, contour} a filled contour. Tools: a list of {dark, ...} with
// one of circle [x, y, r], polygon, or obround [x, y, width, height].
'use strict'
const fs = require('fs')
const path = require('path')

const from = path.join(path.resolve(process.argv[2]), 'node_modules')
const parser = require(path.join(from, 'gerber-parser'))
const plotter = require(path.join(from, 'gerber-plotter'))

// side gives the places after a side's start up to its end; an arc's lie on
// the arc, its chords at most 20 nm inside.
function side(s, mm) {
  const end = [s.end[0], s.end[1]]
  if (s.type !== 'arc') return [end]
  const r = Math.hypot(s.start[0] - s.center[0], s.start[1] - s.center[1])
  const n = Math.max(8, Math.ceil(s.sweep / (2 * Math.acos(1 - Math.min(1, 20e-6 / (r * mm))))))
  const turn = s.dir === 'cw' ? -s.sweep : s.sweep
  const a0 = Math.atan2(s.start[1] - s.center[1], s.start[0] - s.center[0])
  const out = []
  for (let k = 1; k < n; k++) {
    const a = a0 + turn * k / n
    out.push([s.center[0] + r * Math.cos(a), s.center[1] + r * Math.sin(a)])
  }
  return out.concat([end])
}

// contours splits a fill where a side does not begin at the end of the last.
function contours(sides, mm) {
  const out = []
  let ring = null
  for (const s of sides) {
    const last = ring && ring[ring.length - 1]
    if (!last || last[0] !== s.start[0] || last[1] !== s.start[1]) out.push(ring = [[s.start[0], s.start[1]]])
    ring.push(...side(s, mm))
  }
  return out
}

function primitive(p, dark) {
  const [w, h] = [p.width / 2, p.height / 2]
  if (p.type === 'circle') return {dark, circle: [p.cx, p.cy, p.r]}
  if (p.type === 'poly') return {dark, polygon: p.points}
  if (p.type === 'rect' && p.r) return {dark, obround: [p.cx, p.cy, p.width, p.height]}
  if (p.type === 'rect') return {dark, polygon: [[p.cx - w, p.cy - h], [p.cx + w, p.cy - h], [p.cx + w, p.cy + h], [p.cx - w, p.cy + h]]}
  throw new Error('shape of kind ' + p.type + ' is not taken here')
}

function tool(shape) {
  const out = []
  let dark = true
  for (const p of shape) {
    if (p.type === 'layer') dark = p.polarity === 'dark'
    else out.push(primitive(p, dark))
  }
  return out
}

function read(file) {
  return new Promise((resolve) => {
    const out = {file, mm: 1, flashes: 0, box: null, warnings: [], tools: {}, objects: []}
    let dark = true
    const p = parser({filetype: 'gerber'})
    const q = plotter()
    const fail = (e) => { out.error = String(e.message || e); resolve(out) }
    for (const s of [p, q]) s.on('warning', (w) => out.warnings.push(w.message)).on('error', fail)
    q.on('data', (o) => {
      try {
        out.mm = q.format.units === 'in' ? 25.4 : 1
        switch (o.type) {
          case 'polarity': dark = o.polarity === 'dark'; break
          case 'shape': out.tools[o.tool] = tool(o.shape); break
          case 'pad': out.flashes++; out.objects.push({dark, tool: o.tool, at: [o.x, o.y]}); break
          case 'fill': for (const contour of contours(o.path, out.mm)) out.objects.push({dark, contour}); break
          case 'stroke':
            for (const s of o.path) out.objects.push({dark, width: o.width, way: [[s.start[0], s.start[1]], ...side(s, out.mm)]})
            break
          case 'repeat': if (o.offsets.length) throw new Error('step and repeat is not taken here'); break
          case 'size': out.box = o.box.every(Number.isFinite) ? o.box : null; break
        }
      } catch (e) { fail(e) }
    })
    q.on('end', () => resolve(out))
    fs.createReadStream(file, 'utf8').pipe(p).pipe(q)
  })
}

async function main() {
  for (const file of process.argv.slice(3)) {
    const line = JSON.stringify(await read(file)) + '\n'
    await new Promise((done) => process.stdout.write(line, done))
  }
}
main()
