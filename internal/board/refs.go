package board

import (
	"cmp"
	"fmt"
	"strconv"

	"ohmward/internal/nearest"
)

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

// Name is how the pad's pin is written: "C7.1", or "C7" where no file tells
// which pin it is; "" where it is no part's.
func (p *Pad) Name() string {
	if p.Ref == "" || p.Pin == "" {
		return p.Ref
	}
	return p.Ref + "." + p.Pin
}

// PinName is Name where the pin is known, else "".
func (p *Pad) PinName() string {
	if p.Pin == "" {
		return ""
	}
	return p.Name()
}

// Terminal tells the pads of one pin of a part from those of another: the
// pin, or its place in millimetres as "@12.300,45.600" where no file names it.
func (p *Pad) Terminal() string {
	if p.Pin != "" {
		return p.Pin
	}
	x, y := p.At.MM()
	return fmt.Sprintf("@%.3f,%.3f", x, y)
}

// CompareRefs orders references as people do: C2 before C10.
func CompareRefs(a, b string) int {
	la, na := splitRef(a)
	lb, nb := splitRef(b)
	return cmp.Or(cmp.Compare(la, lb), cmp.Compare(na, nb), cmp.Compare(a, b))
}

func splitRef(s string) (string, int) {
	i := len(s)
	for i > 0 && s[i-1] >= '0' && s[i-1] <= '9' {
		i--
	}
	n, err := strconv.Atoi(s[i:])
	if err != nil {
		return s, -1
	}
	return s[:i], n
}
