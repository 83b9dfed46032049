package session

import (
	"fmt"
	"regexp"
	"strconv"

	"ohmward/internal/answer"
	"ohmward/internal/board"
)

// advices are what can be done about doubts of a code.
var advices = map[board.Code]string{
	board.Panel:     "Say which copy is on the bench.",
	board.NoCopy:    "Choose a copy that is there.",
	board.Hairline:  "Fill them, unless you see such slits on the board.",
	board.DrillUnit: "Let the pads tell the unit, then see whether the holes lie in their pads.",
	board.Outline:   "See whether the outline in the picture is the board's; else bring the profile file.",
	board.NoNames:   "Bring the netlist with the files, or go by pins: tap one on each of the two nets.",
	board.Joined:    "Look there: a net tie or a closed jumper is as designed; else name the file's fault.",
	board.NoDrill:   "Bring the drill files with the others.",
}

// adviceFor says what to do about a doubt: its code's own; else where to look.
func adviceFor(d answer.DoubtView) string {
	if known := advices[board.Code(d.Code)]; known != "" {
		return known
	}
	switch {
	case d.As != "" && d.Line > 0:
		return fmt.Sprintf("Look at line %d of the file. If it is not %s, say below what it is.", d.Line, d.As)
	case d.As != "":
		return fmt.Sprintf("Compare the picture with the board. If the file is not %s, say below what it is.", d.As)
	}
	return "Compare the picture with the board."
}

// The figures of doubts, as files have them.
var (
	fileSmall = regexp.MustCompile(`(^|[^\d.,-])(0\.\d+) ?mm\b`)
	filePlace = regexp.MustCompile(`(-?\d+)\.(\d{2,}),\s?(-?\d+\.\d+)`)
	fileLong  = regexp.MustCompile(`(-?\d+\.\d{2,}) ?mm\b`)
	fileArea  = regexp.MustCompile(`([\d.]+(?:e[+-]?\d+)?) ?mm2\b`)
)

// plainFigures writes the figures of a doubt in units that a person sees: places
// to a tenth of a millimetre, what is smaller in micrometres, areas in square
// millimetres.
func plainFigures(text string) string {
	text = filePlace.ReplaceAllStringFunc(text, func(m string) string {
		p := filePlace.FindStringSubmatch(m)
		x, errX := strconv.ParseFloat(p[1]+"."+p[2], 64)
		y, errY := strconv.ParseFloat(p[3], 64)
		if errX != nil || errY != nil {
			return m
		}
		return fmt.Sprintf("%.1f, %.1f", x, y)
	})
	text = fileSmall.ReplaceAllStringFunc(text, func(m string) string {
		p := fileSmall.FindStringSubmatch(m)
		x, err := strconv.ParseFloat(p[2], 64)
		if err != nil {
			return m
		}
		return fmt.Sprintf("%s%.0f µm", p[1], x*1e3)
	})
	text = fileLong.ReplaceAllStringFunc(text, func(m string) string {
		x, err := strconv.ParseFloat(fileLong.FindStringSubmatch(m)[1], 64)
		if err != nil {
			return m
		}
		return fmt.Sprintf("%.1f mm", x)
	})
	return fileArea.ReplaceAllStringFunc(text, func(m string) string {
		x, err := strconv.ParseFloat(fileArea.FindStringSubmatch(m)[1], 64)
		if err != nil {
			return m
		}
		return areaWords(x)
	})
}

func areaWords(mm2 float64) string {
	switch {
	case mm2 < 0.1:
		return "under 0.1 mm²"
	case mm2 < 10:
		return fmt.Sprintf("%.1f mm²", mm2)
	}
	return fmt.Sprintf("%.0f mm²", mm2)
}
