package cache

import "ohmward/geom"

// Painted gives what painting the coats makes, which paint finds on a
// miss.
func Painted(s *Store, coats []geom.Coat, paint func([]geom.Coat) (geom.Region, error)) (geom.Region, error) {
	if s == nil {
		return paint(coats)
	}
	k := NewKey("painted")
	k.Any(coats)
	return Memo(s, k.Key(), (*Writer).Region, (*Reader).Region,
		func() (geom.Region, error) { return paint(coats) })
}
