package board

import "ohmward/internal/nearest"

// NearestRef is the part whose reference a person probably meant, one with the
// same letters before any other.
func (b *Board) NearestRef(ref string) (string, bool) {
	letters, _ := splitRef(ref)
	var same, all []string
	for _, p := range b.Parts {
		all = append(all, p.Ref)
		if l, _ := splitRef(p.Ref); l == letters {
			same = append(same, p.Ref)
		}
	}
	if name, near := nearest.Name(ref, same); near {
		return name, true
	}
	return nearest.Name(ref, all)
}
