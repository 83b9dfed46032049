"""Unites the rings of a file with GEOS; input and output as in clipper.cpp."""
import array
import sys
import time

from shapely.geometry import Polygon
from shapely.ops import unary_union

numbers = array.array("q")
numbers.frombytes(open(sys.argv[1], "rb").read())
at, rings = 1, []
for _ in range(numbers[0]):
    end = at + 1 + 2 * numbers[at]
    rings.append(Polygon(list(zip(numbers[at + 1 : end : 2], numbers[at + 2 : end : 2]))))
    at = end
begin = time.process_time()
union = unary_union(rings)
print("%.4f %.0f" % (time.process_time() - begin, union.area))
