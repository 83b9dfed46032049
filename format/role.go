package format

import (
	"fmt"
	"strconv"
	"strings"

	"ohmward/format/excellon"
	"ohmward/format/gerber"
)

// Class is what a file shows.
type Class uint8

// The classes of files. Other is read but shows nothing of the board itself:
// drawings, courtyards, comments, glue.
const (
	Other Class = iota
	Copper
	Mask
	Paste
	Legend
	Profile
	Drill
	Component
)

// String gives the class in words.
func (c Class) String() string {
	return [...]string{"other", "copper", "mask", "paste", "legend", "profile", "drill", "component"}[c]
}

// Side is where a file belongs in the board.
type Side uint8

// The sides; NoSide where it has none or it is not known.
const (
	NoSide Side = iota
	Top
	Bottom
	Inner
)

// String gives the side in words.
func (s Side) String() string { return [...]string{"", "top", "bottom", "inner"}[s] }

// Last stands for the bottom copper layer where its number is not told.
const Last = -1

// Role is what a file is in its set.
type Role struct {
	Class Class // what it shows
	Side  Side  // NoSide where it has none or it is not known
	// Layer is the copper layer from 1 (top); Last for the bottom layer of an
	// unknown number; 0 where not known.
	Layer int
	// Inner orders inner copper layers whose Layer is 0: the number in the
	// name, rising from top to bottom.
	Inner    int
	Plated   excellon.Plating // drills
	From, To int              // drills: the layers spanned, as Layer; 0 where not given
	// Guess tells that only a bare word of the name, as "top" or "art 5", makes
	// it copper: drawings and notes have such words too.
	Guess bool
}

// String gives class, layer or side, plating and span in words.
func (r Role) String() string {
	s := r.Class.String()
	switch {
	case r.Class == Copper && r.Layer > 0:
		return fmt.Sprintf("%s L%d", s, r.Layer)
	case r.Class == Drill:
		s += [...]string{"", " plated", " unplated"}[r.Plated]
		if r.From != 0 {
			s += " " + layerName(r.From) + "-" + layerName(r.To)
		}
		return s
	case r.Side != NoSide:
		s += " " + r.Side.String()
		if r.Inner > 0 {
			s += fmt.Sprintf(" %d", r.Inner)
		}
	}
	return s
}

func layerName(n int) string {
	if n == Last {
		return "bottom"
	}
	return strconv.Itoa(n)
}

// GerberRole tells what a layer image shows and why it is taken so.
func GerberRole(name string, img *gerber.Image) (Role, string) {
	if img != nil {
		if ff := img.Attributes[".FileFunction"]; len(ff) > 0 {
			return byFunction(ff), ".FileFunction " + strings.Join(ff, ",")
		}
	}
	return byName(name)
}

// byFunction reads the file attribute .FileFunction. Writers differ in the
// case and in a few names (SolderMask for Soldermask).
func byFunction(ff []string) Role {
	at := func(i int) string {
		if i < len(ff) {
			return strings.ToLower(strings.TrimSpace(ff[i]))
		}
		return ""
	}
	side := func(i int) Side {
		switch at(i) {
		case "top":
			return Top
		case "bot", "bottom":
			return Bottom
		case "inr", "inner":
			return Inner
		}
		return NoSide
	}
	switch at(0) {
	case "copper":
		r := Role{Class: Copper, Side: side(2), Layer: layerNumber(at(1))}
		switch {
		case r.Layer == 0 && r.Side == Top:
			r.Layer = 1
		case r.Layer == 0 && r.Side == Bottom:
			r.Layer = Last
		case r.Layer == 1 && r.Side == NoSide:
			r.Side = Top
		}
		return r
	case "soldermask":
		return Role{Class: Mask, Side: side(1)}
	case "paste", "solderpaste":
		return Role{Class: Paste, Side: side(1)}
	case "legend", "silkscreen":
		return Role{Class: Legend, Side: side(1)}
	case "profile":
		return Role{Class: Profile}
	case "component":
		return Role{Class: Component, Side: side(2), Layer: layerNumber(at(1))}
	case "plated", "nonplated", "mixedplating":
		r := Role{Class: Drill, From: layerNumber(at(1)), To: layerNumber(at(2))}
		switch at(0) {
		case "plated":
			r.Plated = excellon.Plated
		case "nonplated":
			r.Plated = excellon.Unplated
		}
		if r.To == 0 {
			r.From = 0
		}
		return r
	}
	return Role{}
}

// layerNumber reads L3 or 3; 0 where it is neither.
func layerNumber(s string) int {
	n, err := strconv.Atoi(strings.TrimPrefix(strings.ToLower(s), "l"))
	if err != nil || n < 1 || n > 1000 {
		return 0
	}
	return n
}
