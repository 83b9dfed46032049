"""Resistances of the reference board by general-purpose packages.

    /usr/bin/python3 tools/reference/resistances.py

paints the copper of testdata/reference/board with shapely, meshes each net
with Gmsh, and solves the conduction in thin sheets with GetFEM's quadratic
elements, for each pair of testdata/reference/pairs.json, on three meshes, each
twice as fine as the one before. It writes testdata/reference/resistances.json
after each net, and keeps what it finds there: remove the file to begin anew.

Plated holes are equipotential rims joined by their barrels; contacts are
equipotential discs. (Debian: python3-getfem, python3-gmsh, python3-scipy,
python3-shapely.)
"""

import json
import math
import multiprocessing
import pathlib
import subprocess
import sys
import tempfile

import getfem
import gmsh
import numpy
import scipy.sparse
import scipy.sparse.linalg
from shapely.geometry.polygon import orient
from shapely.ops import polygonize, unary_union

from artwork import Board, grown, parts

RHO = 1.7241e-8  # ohm metre at 20 degrees Celsius
COPPER = 35e-6  # m
PLATING = 0.025  # mm
BOARD = 1.6  # mm
TIP = 0.30  # mm
NEAR = 1e-5  # mm: points nearer to a rim lie on it

EDGE = 1.2  # longest edge of the finest mesh, mm
CORNER = 0.0006  # edge at inner corners of the finest mesh, mm
RIM = 0.08  # edge at outlines, holes and contacts of the finest mesh, mm
GROWTH = 0.6  # of the edges with the distance from there
SAG = 0.0004  # chords of circles in the finest mesh, mm
SCALES = (4, 2, 1)
WORKERS = 3

HERE = pathlib.Path(__file__).resolve().parents[2] / "testdata" / "reference"
OUT = HERE / "resistances.json"


def barrel_ohms(hole, length):
    """Of the plating between two layers, length mm apart."""
    d, t = hole.diameter, min(PLATING, hole.diameter / 2)
    area = math.pi * ((d / 2) ** 2 - (d / 2 - t) ** 2) + 2 * t * hole.axis.length
    return RHO * length * 1e-3 / (area * 1e-6)


class Net:
    """The copper that a place conducts to: polygons by layer, and holes."""

    def __init__(self, board, start):
        pieces = {n: parts(c) for n, c in board.copper.items()}
        plated = [h for h in board.holes if h.plated]
        rims = [grown(h.axis, h.diameter / 2 + NEAR, board.sag) for h in plated]
        found, holes, todo = set(), set(), []

        def reach(n, shape):
            for i, piece in enumerate(pieces[n]):
                if (n, i) not in found and piece.intersects(shape):
                    found.add((n, i))
                    todo.append((n, i))

        n, at = start
        reach(n, grown(at, TIP / 2, board.sag))
        for h, rim in zip(plated, rims):
            if h.first <= n <= h.last and h.axis.distance(at) <= h.diameter / 2 + TIP / 2:
                reach(n, rim)
        while todo:
            n, i = todo.pop()
            for k, (h, rim) in enumerate(zip(plated, rims)):
                if k not in holes and h.first <= n <= h.last and rim.intersects(pieces[n][i]):
                    holes.add(k)
                    for m in range(h.first, h.last + 1):
                        reach(m, rim)
        self.holes = [plated[k] for k in sorted(holes)]
        self.key = min(found)
        self.copper = {}
        for n in board.copper:
            mine = [pieces[n][i] for m, i in found if m == n]
            if mine:
                self.copper[n] = unary_union(mine)


def inner_corners(area):
    """Vertices where the copper turns by more than 30 degrees round air."""
    found = []
    for part in map(orient, parts(area)):
        for ring in [part.exterior, *part.interiors]:
            p = numpy.array(ring.coords)[:-1]
            a, b = p - numpy.roll(p, 1, 0), numpy.roll(p, -1, 0) - p
            turn = numpy.arctan2(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0], (a * b).sum(1))
            found.append(p[turn < -math.radians(30)])
    return numpy.concatenate(found)


def size_field(points, smallest, scale):
    """Edges that grow with the distance from the points."""
    tags = [gmsh.model.geo.addPoint(x, y, 0) for x, y in points]
    gmsh.model.geo.synchronize()
    distance = gmsh.model.mesh.field.add("Distance")
    gmsh.model.mesh.field.setNumbers(distance, "PointsList", tags)
    size = gmsh.model.mesh.field.add("Threshold")
    gmsh.model.mesh.field.setNumber(size, "InField", distance)
    for name, value in (
        ("SizeMin", scale * smallest),
        ("SizeMax", scale * EDGE),
        ("DistMin", 0),
        ("DistMax", (EDGE - smallest) / GROWTH),
    ):
        gmsh.model.mesh.field.setNumber(size, name, value)
    return size


def faces(copper, rims):
    """The copper cut along the contacts' rims."""
    lines = unary_union([copper.boundary, *[r.exterior for r in rims]])
    return [f for f in polygonize(lines) if copper.contains(f.representative_point())]


def mesh(copper, contacts, scale):
    """Triangles of one layer, whose edges follow its contacts."""
    gmsh.model.add("layer")
    points, lines = {}, {}

    def point(x, y):
        key = (round(x, 7), round(y, 7))
        if key not in points:
            points[key] = gmsh.model.geo.addPoint(x, y, 0)
        return points[key]

    def loop(ring):
        tags = [point(x, y) for x, y in ring.coords]
        found = []
        for a, b in zip(tags, tags[1:]):
            if a == b:
                continue
            if (b, a) in lines:
                found.append(-lines[b, a])
            else:
                if (a, b) not in lines:
                    lines[a, b] = gmsh.model.geo.addLine(a, b)
                found.append(lines[a, b])
        return gmsh.model.geo.addCurveLoop(found)

    cut = faces(copper, contacts)
    surfaces = [gmsh.model.geo.addPlaneSurface([loop(f.exterior), *map(loop, f.interiors)]) for f in cut]
    sharp = inner_corners(copper)
    for c in contacts:  # where a contact ends on the copper's edge
        for end in parts(c.exterior.intersection(copper.boundary)):
            sharp = numpy.concatenate([sharp, end.coords])
    fields = [size_field(sharp, CORNER, scale)] if len(sharp) else []
    edges = [r.coords for p in cut for r in [p.exterior, *p.interiors]]
    fields.append(size_field(numpy.concatenate(edges), RIM, scale))
    least = gmsh.model.mesh.field.add("Min")
    gmsh.model.mesh.field.setNumbers(least, "FieldsList", fields)
    gmsh.model.mesh.field.setAsBackgroundMesh(least)
    gmsh.option.setNumber("Mesh.MeshSizeFromPoints", 0)
    gmsh.option.setNumber("Mesh.MeshSizeExtendFromBoundary", 0)
    gmsh.option.setNumber("Mesh.Algorithm", 5)
    gmsh.model.addPhysicalGroup(2, surfaces)
    gmsh.model.mesh.generate(2)
    with tempfile.TemporaryDirectory() as folder:
        name = str(pathlib.Path(folder) / "layer.msh")
        gmsh.option.setNumber("Mesh.MshFileVersion", 2.2)
        gmsh.write(name)
        out = getfem.Mesh("import", "gmsh", name)
    gmsh.model.remove()
    if out.dim() == 3:
        out.transform(numpy.array([[1.0, 0, 0], [0, 1.0, 0]]))
    return out


class Sheet:
    """One layer's stiffness matrix, and where its unknowns lie."""

    def __init__(self, triangles, first):
        fem = getfem.MeshFem(triangles, 1)
        fem.set_fem(getfem.Fem("FEM_PK(2,2)"))
        data = getfem.MeshFem(triangles, 1)
        data.set_fem(getfem.Fem("FEM_PK(2,0)"))
        rule = getfem.MeshIm(triangles, getfem.Integ("IM_TRIANGLE(6)"))
        k = getfem.asm_laplacian(rule, fem, data, numpy.full((1, data.nbdof()), COPPER / RHO))
        starts, rows = k.csc_ind()
        self.matrix = scipy.sparse.csc_matrix((k.csc_val(), rows, starts), shape=k.size())
        self.first, self.unknowns = first, fem.nbdof()
        self.nodes = fem.basic_dof_nodes()[:2].T

    def within(self, axis, radius):
        """The unknowns on a disc or slot, its rim among them."""
        start, end = numpy.array(axis.coords[0]), numpy.array(axis.coords[-1])
        along, away = end - start, self.nodes - start
        t = numpy.clip(away @ along / max(along @ along, 1e-30), 0, 1)
        return self.first + numpy.flatnonzero(numpy.hypot(*(away - t[:, None] * along).T) <= radius + NEAR)


class Model:
    """A net with its contacts, meshed; every hole's rim is one unknown."""

    def __init__(self, net, places, scale, layers):
        self.sheets, self.net, self.size = {}, net, 0
        for n, copper in net.copper.items():
            contacts = [grown(at, TIP / 2, scale * SAG) for m, at in places if m == n]
            self.sheets[n] = Sheet(mesh(copper, contacts, scale), self.size)
            self.size += self.sheets[n].unknowns
        self.matrix = scipy.sparse.block_diag([s.matrix for s in self.sheets.values()], format="csc")
        self.nodes = numpy.arange(self.size)
        self.rims = {}
        entries = []
        for k, h in enumerate(net.holes):
            for n in range(h.first, h.last + 1):
                found = self.sheets[n].within(h.axis, h.diameter / 2) if n in self.sheets else []
                if len(found) == 0:  # no copper there: a node of its own
                    found = numpy.array([self.size])
                    self.nodes = numpy.append(self.nodes, self.size)
                    self.size += 1
                self.rims[k, n] = found[0]
                self.nodes[found] = found[0]
                if n > h.first:
                    g = 1 / barrel_ohms(h, BOARD / (layers - 1))
                    a, b = self.rims[k, n - 1], found[0]
                    entries += [(a, a, g), (b, b, g), (a, b, -g), (b, a, -g)]
        shape = (self.size, self.size)
        self.matrix.resize(shape)
        if entries:
            i, j, g = zip(*entries)
            self.matrix = self.matrix + scipy.sparse.csc_matrix((g, (i, j)), shape=shape)

    def join(self, owner, place):
        """Makes a contact, with the rims that it touches, one unknown."""
        n, at = place
        found = owner[self.sheets[n].within(at, TIP / 2)] if n in self.sheets else numpy.array([], int)
        for k, h in enumerate(self.net.holes):
            if h.first <= n <= h.last and h.axis.distance(at) <= (h.diameter + TIP) / 2:
                found = numpy.append(found, owner[self.rims[k, n]])
        if len(found) == 0:
            raise ValueError(f"no copper at {place}")
        owner[numpy.isin(owner, found)] = found[0]
        return found[0]

    def resistance(self, a, b):
        owner = self.nodes.copy()
        source, ground = self.join(owner, a), self.join(owner, b)
        classes, member = numpy.unique(owner, return_inverse=True)
        fold = scipy.sparse.csc_matrix((numpy.ones(self.size), (numpy.arange(self.size), member)))
        folded = (fold.T @ self.matrix @ fold).tocsc()
        source, ground = numpy.searchsorted(classes, [source, ground])
        rest = numpy.flatnonzero(numpy.arange(len(classes)) != ground)
        current = (rest == source).astype(float)
        symmetric = {"diag_pivot_thresh": 0, "options": {"SymmetricMode": True}}
        factor = scipy.sparse.linalg.splu(folded[rest][:, rest], permc_spec="MMD_AT_PLUS_A", **symmetric)
        return float(factor.solve(current)[rest.searchsorted(source)])


BOARDS = {}  # by scale; painted once, before the workers start


def by_net(pairs):
    """The pairs of each net, smallest net first."""
    nets = {}
    for p in pairs:
        board = BOARDS[SCALES[0]]
        net = Net(board, board.place(p["from"]))
        nets.setdefault(net.key, (sum(c.length for c in net.copper.values()), []))[1].append(p)
    return [mine for _, mine in sorted(nets.values(), key=lambda n: n[0])]


def solve(scale, pairs):
    """The resistances of one net's pairs on a mesh of one scale."""
    board = BOARDS[scale]
    ends = [(board.place(p["from"]), board.place(p["to"])) for p in pairs]
    places = {(n, at.x, at.y): (n, at) for e in ends for n, at in e}
    model = Model(Net(board, ends[0][0]), places.values(), scale, len(board.copper))
    ohms = []
    for p, e in zip(pairs, ends):
        ohms.append(model.resistance(*e))
        print(scale, model.size, p["from"], p["to"], ohms[-1], file=sys.stderr, flush=True)
    return ohms


def error(coarse, middle, fine):
    """What is left after the last change: a third of it, as order two leaves,
    where the changes fall at least as fast; else all of it."""
    first, last = abs(middle - coarse), abs(fine - middle)
    return float(f"{last / 3 if 4 * last <= first else last:.2g}")


def results(pairs):
    """One net's pairs with their values, from the coarsest mesh to the finest."""
    getfem.util_trace_level(0)
    gmsh.initialize(["", "-v", "0"])
    values = zip(pairs, *(solve(s, pairs) for s in SCALES))
    found = [
        {**p, "ohms": float(f"{f:.7g}"), "error_ohms": error(c, m, f),
         "coarser_ohms": [float(f"{c:.7g}"), float(f"{m:.7g}")]}
        for p, c, m, f in values
    ]
    gmsh.finalize()
    return found


def write(found, pairs):
    """The results so far, in the order of the pairs."""
    packages = [f"python3-{p}" for p in ("getfem", "gmsh", "scipy", "shapely")]
    versions = subprocess.check_output(["dpkg-query", "-W", *packages], text=True)
    made = {
        "script": "tools/reference/resistances.py",
        "packages": [v.replace("\t", " ") for v in versions.splitlines()],
        "error": "a third of the last change where halving the edges cuts the changes by 4, else all of it",
    }
    order = [(p["from"], p["to"]) for p in pairs]
    found.sort(key=lambda r: order.index((r["from"], r["to"])))
    text = ",\n".join("  " + json.dumps(r) for r in found)
    OUT.write_text(f'{{\n "made": {json.dumps(made)},\n "results": [\n{text}\n ]\n}}\n', encoding="utf-8")


def main():
    pairs = json.loads((HERE / "pairs.json").read_text(encoding="utf-8"))
    found = json.loads(OUT.read_text(encoding="utf-8"))["results"] if OUT.exists() else []
    done = {(r["from"], r["to"]) for r in found}
    for s in SCALES:
        BOARDS[s] = Board(HERE / "board", s * SAG)
    nets = by_net([p for p in pairs if (p["from"], p["to"]) not in done])
    with multiprocessing.get_context("fork").Pool(WORKERS, maxtasksperchild=1) as pool:
        for more in pool.imap_unordered(results, nets, chunksize=1):
            found += more
            write(found, pairs)


if __name__ == "__main__":
    main()
