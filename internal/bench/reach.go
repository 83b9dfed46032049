package bench

import (
	"fmt"

	"ohmward/internal/answer"
	"ohmward/internal/engine"
	"ohmward/internal/locate"
)

const (
	// twoWireWill is the reach, in millimetres, that needs nothing better: one
	// look takes in as much.
	twoWireWill = 1.0
	// fourWireWill is the reach that a four-wire reading without injected
	// current should give before it is advised.
	fourWireWill = 2.0
)

// CanDo says, before any reading, how near this meter can come on this copper
// and what to do about it: after four readings, in half of the cases, where places
// lie in a row; a short inside a part is told by the part.
func CanDo(s *engine.Pair, meter locate.Meter, known locate.Copper) *answer.Reach {
	c := locate.Case{Sites: s.Sites, Index: s.Index, Unlisted: s.Foreign, Elsewhere: s.Elsewhere, Meter: meter,
		Copper: known}
	out := &answer.Reach{}
	two, okTwo := locate.Reach(c, s.Tables[0], s.Tables[1], false)
	four, okFour := locate.Reach(c, s.Tables[0], s.Tables[1], true)
	c.Meter.NoiseFourWireOhms = min(meter.NoiseFourWireOhms, engine.DifferencedVolts/engine.InjectedAmps)
	injected, okInjected := locate.Reach(c, s.Tables[0], s.Tables[1], true)
	if okTwo {
		out.TwoWireMM = two
	}
	if okFour {
		out.FourWireMM = four
	}
	switch {
	case !okTwo && !okFour:
		out.Note = "no suspects lie in a row along which readings could be compared: each is a place of its own"
	case okTwo && two <= twoWireWill:
		out.Note = fmt.Sprintf("two-wire will do: four readings come to about %s", reachMM(two))
	case okFour && four <= fourWireWill:
		out.Note = fmt.Sprintf("%s; use four-wire, current clips apart from the volt tips: to about %s",
			twoWireOnly(two, okTwo), reachMM(four))
	case okInjected:
		out.Note = fmt.Sprintf("%s; inject %.0f mA into the short (limit 0.3 V, in steps from 10 mA; at most 300 "+
			"mA where a track of 150 µm carries it, 150 mA inside the board) and read microvolts, differenced: to "+
			"about %s",
			twoWireOnly(two, okTwo), engine.InjectedAmps*1e3, reachMM(injected))
	default:
		out.Note = twoWireOnly(two, okTwo) + "; four-wire readings find no two places on one net"
	}
	return out
}

func twoWireOnly(mm float64, ok bool) string {
	if !ok {
		return "two-wire does not tell places along two tracks apart"
	}
	return fmt.Sprintf("four two-wire readings come to about %s only, along two tracks", reachMM(mm))
}

// reachMM prints no less than the 0.1 mm that a tip finds.
func reachMM(mm float64) string { return fmt.Sprintf("%.1f mm", max(0.1, mm)) }
