"""Reads the reference board's Gerber and drill files into shapely polygons.

Only the commands that the board's generator writes are known; any other stops
the reading. Millimetres, y up. It shares no code with ohmward.
"""

import math
import pathlib
import re
from dataclasses import dataclass

from shapely.geometry import LineString, Point, Polygon, box
from shapely.ops import unary_union


@dataclass
class Hole:
    axis: object  # a Point, or the LineString of a slot
    diameter: float
    first: int
    last: int
    plated: bool


def quadrant(radius, sag):
    """Edges in a quarter circle so that chords leave it by sag at most."""
    return max(6, math.ceil(math.pi / 4 / math.acos(1 - min(sag / radius, 0.5))))


def grown(shape, radius, sag):
    return shape.buffer(radius, quadrant(radius, sag))


def parts(shape):
    """The pieces of a geometry of one piece or several."""
    return [g for g in getattr(shape, "geoms", [shape]) if not g.is_empty]


class Layer:
    """One copper image, painted in the order of its file."""

    def __init__(self, path, sag):
        self.sag = sag
        self.apertures = {}
        self.image = Polygon()
        self.stack = []  # objects of one polarity, not yet painted
        self.dark = True
        self.pin = None
        self.pads = {}  # (part, pin) -> place
        self.tool = None
        self.at = (0.0, 0.0)
        self.ring = None  # of an open region
        self.function = None
        text = path.read_text(encoding="ascii")
        for command in re.findall(r"%([^%]*)%|([^*%\s]+\*)", text):
            self.read("".join(command).rstrip("*"))
        self.paint()

    def paint(self):
        together = unary_union(self.stack)
        self.image = self.image.union(together) if self.dark else self.image.difference(together)
        self.stack = []

    def read(self, c):
        if c.startswith("TF.FileFunction,"):
            self.function = c.split(",")[1:]
        elif m := re.fullmatch(r"ADD(\d+)([CRO]),([\d.]+)(?:X([\d.]+))?", c):
            self.apertures[m[1]] = (m[2], float(m[3]), float(m[4] or m[3]))
        elif c in ("LPD", "LPC"):
            self.paint()
            self.dark = c == "LPD"
        elif c.startswith("TO.P,"):
            self.pin = tuple(c.split(",")[1:3])
        elif c == "TD.P":
            self.pin = None
        elif c == "G36":
            self.ring = []
        elif c == "G37":
            self.stack.append(Polygon(self.ring))
            self.ring = None
        elif m := re.fullmatch(r"D(\d\d+)", c):
            self.tool = self.apertures[m[1]]
        elif m := re.fullmatch(r"X(\d+)Y(\d+)D0([123])", c):
            self.move((int(m[1]) / 1e6, int(m[2]) / 1e6), m[3])
        elif not re.match(r"T[FOD]\.|FSLAX46Y46$|MOMM$|G01$|G75$|M02$", c):
            raise ValueError(f"unknown command {c}")

    def move(self, to, operation):
        if operation == "3":
            self.flash(to)
        elif self.ring is not None:
            self.ring.append(to)
        elif operation == "1":
            kind, d, _ = self.tool
            assert kind == "C"
            self.stack.append(grown(LineString([self.at, to]), d / 2, self.sag))
        self.at = to

    def flash(self, at):
        kind, w, h = self.tool
        x, y = at
        if kind == "R":
            self.stack.append(box(x - w / 2, y - h / 2, x + w / 2, y + h / 2))
        else:
            dx, dy = max(w - h, 0) / 2, max(h - w, 0) / 2
            axis = Point(at) if dx == dy else LineString([(x - dx, y - dy), (x + dx, y + dy)])
            self.stack.append(grown(axis, min(w, h) / 2, self.sag))
        if self.pin:
            self.pads.setdefault(self.pin, at)


def drills(path):
    tools, holes, diameter = {}, [], None
    for line in path.read_text(encoding="ascii").splitlines():
        if m := re.match(r"; #@! TF.FileFunction,(\w+),(\d+),(\d+)", line):
            plated, first, last = m[1] == "Plated", int(m[2]), int(m[3])
        elif m := re.fullmatch(r"(T\d+)C([\d.]+)", line):
            tools[m[1]] = float(m[2])
        elif line in tools:
            diameter = tools[line]
        elif m := re.fullmatch(r"X([\d.]+)Y([\d.]+)(?:G85X([\d.]+)Y([\d.]+))?", line):
            ends = [float(v) for v in m.groups() if v]
            axis = LineString([ends[:2], ends[2:]]) if len(ends) == 4 else Point(ends)
            holes.append(Hole(axis, diameter, first, last, plated))
        elif not re.match(r";|M48|METRIC|%|G05|M30", line):
            raise ValueError(f"unknown line {line}")
    return holes


class Board:
    """Copper by layer number, drilled; holes; and the pads' places."""

    def __init__(self, folder, sag):
        folder = pathlib.Path(folder)
        self.holes = [h for f in sorted(folder.glob("*.drl")) for h in drills(f)]
        self.copper, self.pads, self.sag = {}, {}, sag
        for f in sorted(folder.glob("*-copper-*.gbr")):
            layer = Layer(f, sag)
            n = int(layer.function[1][1:])
            cut = [grown(h.axis, h.diameter / 2, sag) for h in self.holes if h.first <= n <= h.last]
            self.copper[n] = layer.image.difference(unary_union(cut))
            for pin, at in layer.pads.items():
                self.pads.setdefault(pin, (n, at))

    def place(self, name):
        """The layer and point of a place: REF.PIN or Ln@x,y."""
        if m := re.fullmatch(r"L(\d)@([\d.]+),([\d.]+)", name):
            return int(m[1]), Point(float(m[2]), float(m[3]))
        n, at = self.pads[tuple(name.split("."))]
        return n, Point(at)
