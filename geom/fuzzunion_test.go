package geom

import "testing"

// FuzzUnion fills rings in a box of 20 nm to 30 um a side, where crossings,
// captures and near misses of a nanometre are common. Four bytes make a
// corner. Its corpus is in testdata.
func FuzzUnion(f *testing.F) {
	f.Add([]byte{0, 0, 4, 0, 0, 0, 0, 0, 19, 0, 1, 0, 19, 0, 19, 0, 1, 0, 18})
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) < 3 || len(data) > 300 {
			return
		}
		side := 20 + (int64(data[0])<<8|int64(data[1]))%29_981
		corners := 3 + int(data[2])%16
		var rings []Ring
		var ring Ring
		for i := 3; i+3 < len(data); i += 4 {
			x, y := int64(data[i])<<8|int64(data[i+1]), int64(data[i+2])<<8|int64(data[i+3])
			ring = append(ring, Point{x % side, y % side})
			if len(ring) == corners {
				rings, ring = append(rings, ring), nil
			}
		}
		checkFill(t, append(rings, ring), NonZero)
	})
}
