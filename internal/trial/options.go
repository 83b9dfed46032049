package trial

import (
	"ohmward/internal/engine"
)

// Options set up invented shorts on a board.
type Options struct {
	engine.Options
	Nets     []string // the two that are shorted
	Faults   int      // 0: 200
	Seed     uint64   // the same number, the same faults, whatever the cores
	Meter    string   // profile; "" is "bench-6.5-digit"
	Kind     string   // "two-wire" (also ""), "four-wire"
	Amps     float64  // of four-wire readings; 0: 0.5 A
	OffModel string   // "" or one of OffModels
	Each     bool     // list every fault
	Picture  string   // file to draw the calibration into; "" none
}
