package cli

import (
	"fmt"
	"math"
	"strings"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/unit"
)

func metersText(p *page, a *answer.Meters) {
	p.Headline("Instruments that may be there: %d", len(a.Instruments))
	if len(a.Instruments) > 0 {
		var rows [][]string
		for _, m := range a.Instruments {
			rows = append(rows, []string{m.Address, m.Kind, m.Name, either(m.PortGuessed, "its port is a guess", "") +
				either(m.Known, "answered before", "")})
		}
		p.Table([]string{"address", "where", "name", ""}, rows)
		p.Line("ohmward meter read ADDRESS asks one who it is and reads it.")
	}
	p.Notes(a.Notes...)
}

func readingText(p *page, a *answer.MeterReading) {
	for _, s := range a.Samples[max(0, len(a.Samples)-1):] {
		if a.Touch != nil {
			p.Headline("%v, %s, steady", unit.Resistance(a.Touch.Ohms), s.Function)
		} else {
			p.Headline("%s, %s", sampleWords(s), s.Function)
		}
		m := a.Meter
		p.Facts("meter", strings.Join([]string{m.Maker, m.Model, "serial", m.Serial, "firmware", m.Firmware}, " "),
			"address", m.Address, "range", rangeWords(s), "integration", nplcWords(s),
			"spread", spreadWords(a.Touch), "sent", either(a.Touch == nil, s.Raw, ""),
			"checked", either(s.Checked, "", "no: this meter sends a value only once"))
	}
	if len(a.Samples) > 1 && a.Touch == nil {
		p.Line("the last of %d values; --json lists all", len(a.Samples))
	}
	p.Notes(a.Notes...)
}

func sampleWords(s answer.MeterSample) string {
	if s.Ohms == nil {
		return map[string]string{"overload": "Overload: open, tips lifted, or beyond the range",
			"negative overload": "Negative overload: are there volts on the net?"}[s.State] +
			either(s.State == "no value", "No value: the meter sent not-a-number", "")
	}
	return unit.Resistance(*s.Ohms).String()
}

func rangeWords(s answer.MeterSample) string {
	return either(s.RangeOhms > 0, unit.Resistance(s.RangeOhms).String(), "")
}

func nplcWords(s answer.MeterSample) string {
	return either(s.NPLC > 0, fmt.Sprintf("%g periods of the mains", s.NPLC), "")
}

func spreadWords(t *answer.MeterTouch) string {
	if t == nil {
		return ""
	}
	return fmt.Sprintf("%v over %s", unit.Resistance(t.SpreadOhms), many(t.Window, "sample"))
}

// watchAdvice is what a state of a watch means.
var watchAdvice = map[string]string{
	bench.WatchWaiting:  "Waiting for a steady reading.",
	bench.WatchShorted:  "SHORT",
	bench.WatchSeenOpen: "SEEN OPEN, or a lead has fallen: lift both tips and touch the same places again.",
	bench.WatchCleared:  "CLEARED: two touches read the same. Let it cool, then prove it.",
}

// watchLine is one change of state in a line.
func watchLine(t bench.WatchTick) string {
	return fmt.Sprintf("%s (%s)", watchAdvice[t.State], tickValue(t))
}

func tickValue(t bench.WatchTick) string {
	if t.NoValue {
		return "no value"
	}
	return t.Ohms.String()
}

// watchPicture is a sample as a terminal shows it: large figures, a bar on a
// logarithmic scale, the state. Its number of lines never changes.
func watchPicture(t bench.WatchTick, limit unit.Resistance, wide int, colour bool) []string {
	list := append(bigText(tickValue(t)), "", logBar(t, limit, wide-4), logScale(wide-4), "", "  "+t.Phase)
	advice := wrap(watchAdvice[t.State], wide-4)
	for i := range 2 {
		line := ""
		if i < len(advice) {
			line = advice[i]
		}
		if colour && line != "" && t.State != bench.WatchWaiting {
			line = "\x1b[1;7m " + line + " \x1b[0m"
		}
		list = append(list, "  "+line)
	}
	return list
}

// The bar's scale.
const barLeast, barMost = 1e-3, 1e6

// barAt is the column of a value on the scale.
func barAt(ohms float64, wide int) int {
	share := math.Log(ohms/barLeast) / math.Log(barMost/barLeast)
	return int(math.Round(min(1, max(0, share)) * float64(wide-1)))
}

// logBar fills the scale up to the value, and marks the limit.
func logBar(t bench.WatchTick, limit unit.Resistance, wide int) string {
	fill := 0
	switch {
	case t.NoValue:
	case t.Ohms.IsOpen():
		fill = wide
	case t.Ohms > barLeast:
		fill = barAt(float64(t.Ohms), wide) + 1
	}
	cells := []rune(strings.Repeat("█", fill) + strings.Repeat("░", wide-fill))
	cells[barAt(float64(limit), wide)] = '│'
	return "  " + string(cells)
}

// logScale names some values below the bar.
func logScale(wide int) string {
	cells := []rune(strings.Repeat(" ", wide+8))
	for _, m := range []struct {
		ohms float64
		name string
	}{{1e-3, "1m"}, {1e-2, "10m"}, {0.1, "100m"}, {1, "1Ω"}, {100, "100"}, {1e4, "10k"}, {1e6, "1M"}} {
		copy(cells[barAt(m.ohms, wide):], []rune(m.name))
	}
	return "  " + strings.TrimRight(string(cells), " ")
}

// bigFigures are three columns and five rows each.
var bigFigures = map[rune][5]string{
	'0': {"███", "█ █", "█ █", "█ █", "███"}, '1': {" █ ", "██ ", " █ ", " █ ", "███"},
	'2': {"███", "  █", "███", "█  ", "███"}, '3': {"███", "  █", "███", "  █", "███"},
	'4': {"█ █", "█ █", "███", "  █", "  █"}, '5': {"███", "█  ", "███", "  █", "███"},
	'6': {"███", "█  ", "███", "█ █", "███"}, '7': {"███", "  █", "  █", "  █", "  █"},
	'8': {"███", "█ █", "███", "█ █", "███"}, '9': {"███", "█ █", "███", "  █", "███"},
	'.': {" ", " ", " ", " ", "█"}, '-': {"   ", "   ", "███", "   ", "   "},
}

// bigText sets a value in large figures, its unit in plain letters at the foot;
// a word stands there as it is.
func bigText(value string) []string {
	number, rest, _ := strings.Cut(value, " ")
	if strings.Trim(number, "0123456789.-") != "" {
		number, rest = "", value
	}
	var rows [5]string
	for i := range rows {
		rows[i] = "  "
		for _, r := range number {
			rows[i] += bigFigures[r][i] + " "
		}
		rows[i] = strings.TrimRight(rows[i], " ")
	}
	if rest != "" {
		rows[4] += "  " + rest
	}
	return rows[:]
}
