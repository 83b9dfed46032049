package mesh

import "ohmward/internal/geom"

func simplify(r geom.Region, curves [][]geom.Point, tol int64) geom.Region { return r }
