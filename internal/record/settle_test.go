package record

import (
	"testing"

	"ohmward/unit"
)

// TestSettled: of several touches two-wire the lowest that repeats counts, as a
// tip on flux only adds; four-wire, where errors go both ways, the median.
func TestSettled(t *testing.T) {
	touches := []unit.Resistance{0.0300, 0.0187, 0.0189}
	two, four := Reading{Touches: touches}, Reading{FourWire: true, Touches: touches}
	two.Settle()
	four.Settle()
	if two.Ohms != 0.0187 || four.Ohms != 0.0189 {
		t.Errorf("two-wire %v, four-wire %v", two.Ohms, four.Ohms)
	}
	even := Reading{FourWire: true, Touches: []unit.Resistance{0.004, 0.001, 0.002, 0.003}}
	if even.Settle(); even.Ohms != 0.0025 {
		t.Errorf("of four: %v", even.Ohms)
	}
	c, err := Decode("c.toml", []byte("board = \"demo\"\nnets = [\"A\", \"B\"]\n[[reading]]\ncurrent = [\"a\", \"b\"]\n"+
		"sense = [\"c\", \"d\"]\ntouches = [0.03, 0.0187, 0.0189]\n"))
	if err != nil || c.Readings[0].Ohms != 0.0189 {
		t.Errorf("read from a file: %v, %v", c, err)
	}
}
