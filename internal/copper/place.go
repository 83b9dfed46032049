package copper

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"ohmward/geom"
)

// Place is where a person says a contact stands: a part's pin, or a layer and
// a point.
type Place struct {
	Pin   string     // "C7.1"; "" for a point
	Layer int        // 0-based
	At    geom.Point // the point, in the frame of the files
}

// String writes the place as a person would.
func (p Place) String() string {
	if p.Pin != "" {
		return p.Pin
	}
	return fmt.Sprintf("%s@%s", layerName(p.Layer), millimetres(p.At))
}

// ParsePlace reads "C7.1" or "L1@12.30,45.60" (millimetres).
func ParsePlace(s string) (Place, error) {
	s = strings.TrimSpace(s)
	layer, point, isPoint := strings.Cut(s, "@")
	if !isPoint {
		if ref, pin, ok := strings.Cut(s, "."); !ok || ref == "" || pin == "" {
			return Place{}, fmt.Errorf("place %q: write a pin as C7.1 or a point as L1@12.30,45.60", s)
		}
		return Place{Pin: s}, nil
	}
	n, err := strconv.Atoi(strings.TrimPrefix(strings.ToUpper(strings.TrimSpace(layer)), "L"))
	if err != nil || n < 1 || n > 1000 || !strings.HasPrefix(strings.ToUpper(strings.TrimSpace(layer)), "L") {
		return Place{}, fmt.Errorf("place %q: %q is no layer: write L1 for the top copper, L2 for the next", s,
			layer)
	}
	xs, ys, ok := strings.Cut(point, ",")
	x, errX := millimetre(xs)
	y, errY := millimetre(ys)
	if !ok || errX != nil || errY != nil {
		return Place{}, fmt.Errorf("place %q: write the point as L%d@12.30,45.60, in millimetres", s, n)
	}
	return Place{Layer: n - 1, At: geom.FromMM(x, y)}, nil
}

// millimetre reads a finite number within the plane that geom covers.
func millimetre(s string) (float64, error) {
	v, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
	if err != nil {
		return 0, err
	}
	if math.IsNaN(v) || math.Abs(v) > geom.MaxCoord*1e-6 {
		return 0, strconv.ErrRange
	}
	return v, nil
}
