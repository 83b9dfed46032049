package cache

import "ohmward/geom"

// Painted gives what painting the coats makes, which paint finds on a
// miss.
func Painted(s *Store, coats []geom.Coat, paint func([]geom.Coat) (geom.Region, error)) (geom.Region, error) {
	if s == nil {
		return paint(coats)
	}
	k := NewKey("painted")
	k.Ints(int64(len(coats)))
	for _, c := range coats {
		k.Bools(c.Dark)
		k.Ints(int64(len(c.Rings)))
		for _, r := range c.Rings {
			k.Points(r)
		}
	}
	return Memo(s, k.Key(), (*Writer).Region, (*Reader).Region,
		func() (geom.Region, error) { return paint(coats) })
}
