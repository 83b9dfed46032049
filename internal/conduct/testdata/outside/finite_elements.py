"""Resistance of a thin-sheet shape by a general-purpose finite-element package.

Reads a shape (JSON) named on the command line, meshes it with Gmsh into curved
second-order triangles, solves with GetFEM's quadratic elements, and prints
{"ohms": [coarse, fine]} for two meshes, the second twice as fine. Quadratic
elements between fixed voltages approach the resistance from below.

Lengths are millimetres, conductances siemens per square. Without the packages
(Debian: python3-getfem, python3-gmsh, python3-scipy) it exits with status 77.
"""

import json
import os
import sys
import tempfile

try:
    import getfem
    import gmsh
    import numpy
    import scipy.sparse
    import scipy.sparse.linalg
except ImportError as missing:
    print(missing, file=sys.stderr)
    sys.exit(77)

EDGE = 0.25  # longest edge, mm
CORNER = 0.004  # edge at the corners of outlines and at the ends of electrodes
GROWN = 0.8  # how far from a corner the edges have grown to full length, mm
ARCS = 24  # edges round a circle


def loop(points, scale):
    """A closed outline, with edges that grow from its corners."""
    tags = []
    for (x, y), (u, v) in zip(points, points[1:] + points[:1]):
        away = min(GROWN, 0.4 * numpy.hypot(u - x, v - y)) / numpy.hypot(u - x, v - y)
        tags.append(gmsh.model.geo.addPoint(x, y, 0, scale * CORNER))
        for t in (away, 1 - away):
            tags.append(gmsh.model.geo.addPoint(x + t * (u - x), y + t * (v - y), 0, scale * EDGE))
    lines = [gmsh.model.geo.addLine(a, b) for a, b in zip(tags, tags[1:] + tags[:1])]
    return gmsh.model.geo.addCurveLoop(lines)


def circle(x, y, d, scale):
    size = scale * numpy.pi * d / ARCS
    middle = gmsh.model.geo.addPoint(x, y, 0, size)
    r = d / 2
    rim = [gmsh.model.geo.addPoint(x + r * c, y + r * s, 0, size) for c, s in ((1, 0), (0, 1), (-1, 0), (0, -1))]
    arcs = [gmsh.model.geo.addCircleArc(a, middle, b) for a, b in zip(rim, rim[1:] + rim[:1])]
    return gmsh.model.geo.addCurveLoop(arcs)


def mesh(layer, scale):
    """One layer's copper as a GetFEM mesh of curved triangles."""
    gmsh.model.add("layer")
    loops = [loop(layer["outline"], scale)]
    loops += [loop(h, scale) for h in layer.get("holes", [])]
    loops += [circle(x, y, d, scale) for x, y, d in layer.get("circles", [])]
    surface = gmsh.model.geo.addPlaneSurface(loops)
    gmsh.model.geo.synchronize()
    gmsh.model.addPhysicalGroup(2, [surface])
    gmsh.option.setNumber("Mesh.MeshSizeMax", scale * EDGE)
    gmsh.option.setNumber("Mesh.ElementOrder", 2)
    gmsh.model.mesh.generate(2)
    with tempfile.TemporaryDirectory() as folder:
        name = os.path.join(folder, "layer.msh")
        gmsh.option.setNumber("Mesh.MshFileVersion", 2.2)
        gmsh.write(name)
        out = getfem.Mesh("import", "gmsh", name)
    gmsh.model.remove()
    if out.dim() == 3:
        out.transform(numpy.array([[1.0, 0, 0], [0, 1.0, 0]]))
    return out


def on_circle(points, x, y, d):
    return numpy.abs(numpy.hypot(points[0] - x, points[1] - y) - d / 2) < 1e-5


def on_edge(points, x1, y1, x2, y2):
    dx, dy = x2 - x1, y2 - y1
    length = numpy.hypot(dx, dy)
    across = ((points[0] - x1) * dy - (points[1] - y1) * dx) / length
    along = ((points[0] - x1) * dx + (points[1] - y1) * dy) / length
    return (numpy.abs(across) < 1e-9) & (along > -1e-9) & (along < length + 1e-9)


class Sheet:
    def __init__(self, layer, scale, first):
        self.mesh = mesh(layer, scale)
        self.fem = getfem.MeshFem(self.mesh, 1)
        self.fem.set_fem(getfem.Fem("FEM_PK(2,2)"))
        self.first = first
        data = getfem.MeshFem(self.mesh, 1)
        data.set_fem(getfem.Fem("FEM_PK(2,0)"))
        integration = getfem.MeshIm(self.mesh, getfem.Integ("IM_TRIANGLE(6)"))
        sigma = numpy.full((1, data.nbdof()), layer["conductance"])
        k = getfem.asm_laplacian(integration, self.fem, data, sigma)
        starts, rows = k.csc_ind()
        self.matrix = scipy.sparse.csc_matrix((k.csc_val(), rows, starts), shape=k.size())

    def unknowns(self, chosen):
        """The unknowns on the boundary faces whose points are all chosen."""
        points = self.mesh.pts()
        ids = self.mesh.pid()[numpy.flatnonzero(chosen(points))]
        faces = self.mesh.faces_from_pid(ids)
        self.mesh.set_region(1, faces)
        found = self.fem.basic_dof_on_region(1)
        self.mesh.delete_region([1])
        if len(found) == 0:
            raise ValueError("no copper at an electrode")
        return self.first + numpy.asarray(found)


def resistance(shape, scale):
    sheets, first = [], 0
    for layer in shape["layers"]:
        sheets.append(Sheet(layer, scale, first))
        first += sheets[-1].fem.nbdof()
    owner = numpy.arange(first)

    def rim(layer, x, y, d):
        found = sheets[layer].unknowns(lambda p: on_circle(p, x, y, d))
        owner[found] = found[0]
        return found[0]

    def electrode(e):
        if "circle" in e:
            return rim(e["layer"], *e["circle"])
        found = sheets[e["layer"]].unknowns(lambda p: on_edge(p, *e["edge"]))
        owner[found] = found[0]
        return found[0]

    ends = [electrode(shape["from"]), electrode(shape["to"])]
    matrix = scipy.sparse.block_diag([s.matrix for s in sheets], format="csc")
    for b in shape.get("barrels", []):
        up, down = rim(0, *b["at"]), rim(1, *b["at"])
        g = 1 / b["ohms"]
        joined = ([g, g, -g, -g], ([up, down, up, down], [up, down, down, up]))
        matrix = matrix + scipy.sparse.csc_matrix(joined, shape=matrix.shape)
    classes, member = numpy.unique(owner, return_inverse=True)
    fold = scipy.sparse.csc_matrix((numpy.ones(first), (numpy.arange(first), member)), shape=(first, len(classes)))
    folded = (fold.T @ matrix @ fold).tocsc()
    source, ground = member[ends[0]], member[ends[1]]
    rest = numpy.flatnonzero(numpy.arange(len(classes)) != ground)
    current = numpy.zeros(len(classes))
    current[source] = 1
    u = numpy.zeros(len(classes))
    u[rest] = scipy.sparse.linalg.spsolve(folded[rest][:, rest], current[rest])
    return u[source]


def main():
    with open(sys.argv[1], encoding="utf-8") as f:
        shape = json.load(f)
    getfem.util_trace_level(0)
    gmsh.initialize(["", "-v", "0"])
    print(json.dumps({"ohms": [resistance(shape, 2), resistance(shape, 1)]}))
    gmsh.finalize()


main()
