package boards

// Digits are drawn as on a seven-bar display of 0.3 by 0.6 mm: bars in the
// order top, upper right, lower right, bottom, lower left, upper left, middle.
var (
	bars = [7][2]point{
		{{0, 2}, {1, 2}}, {{1, 2}, {1, 1}}, {{1, 1}, {1, 0}}, {{1, 0}, {0, 0}},
		{{0, 0}, {0, 1}}, {{0, 1}, {0, 2}}, {{0, 1}, {1, 1}},
	}
	digits = [10]string{"012345", "12", "01643", "01623", "1256", "05623", "056423", "012", "0123456", "012356"}
)

const barLength = 300 * um

// text draws the digits of a number from a point to the right.
func (l *layerWriter) text(number string, at point) {
	for _, d := range number {
		for _, bar := range digits[d-'0'] {
			a, b := bars[bar-'0'][0], bars[bar-'0'][1]
			l.stroke(apText, []point{at.plus(a.x*barLength, a.y*barLength), at.plus(b.x*barLength, b.y*barLength)})
		}
		at = at.plus(2*barLength, 0)
	}
}
