package cli

import (
	"ohmward/internal/bench"
	"ohmward/unit"

	"github.com/spf13/cobra"
)

// answerFlags are the flags of every command that answers.
type answerFlags struct {
	json, timing bool
}

func (f *answerFlags) define(c *cobra.Command) {
	c.Flags().BoolVar(&f.json, "json", false, "print one JSON object instead of text")
	c.Flags().BoolVar(&f.timing, "timing", false, "add seconds by stage and peak memory to the JSON")
}

// boardFlags are the flags of every command that reads a board: figures that
// count over the data's own. One that is nil or empty is not given.
type boardFlags struct {
	answerFlags
	copper, plating, thickness, tip, close, etch *unit.Length
	temp                                         *unit.Temperature
	filled, ties, copy                           string
	tieEdits                                     []bench.TieEdit
	roles                                        []string
}

func (f *boardFlags) define(c *cobra.Command) {
	const um, mm = unit.Micrometre, unit.Millimetre
	define(c, "copper", "35um", "copper thickness on every layer (default: the\n"+
		"data's own, else 35um); also in ounces: 1oz", given(&f.copper, between(um, mm, unit.ParseFoil)))
	define(c, "plating", "25um", "plating thickness in holes (default: the data's\n"+
		"own, else 25um)", given(&f.plating, length(um, mm)))
	define(c, "thickness", "1.6mm", "board thickness, layers then equally spaced\n"+
		"(default: the data's own, else 1.6mm)", given(&f.thickness, length(20*um, 20*mm)))
	define(c, "temp", "20C", "temperature of the copper (default 20C)", given(&f.temp, temperature))
	define(c, "tip", "0.3mm", "diameter of a probe's contact (default 0.3mm)",
		given(&f.tip, length(10*um, 10*mm)))
	define(c, "close", "20um", "fill slits within one net narrower than this\n"+
		"(default: none)", given(&f.close, length(unit.Nanometre, mm)))
	define(c, "etch", "15um", "how far etching took the copper's edges back\n"+
		"(default: none, the image is taken literally)", given(&f.etch, length(unit.Nanometre, 100*um)))
	define(c, "filled", "pins|all", "plated holes that solder fills: those with a part's\n"+
		"pin, or all (default none)", last(&f.filled, oneOf("pins", "all", "none")))
	define(c, "tie", "FB1=0.2ohm", "resistance of a part that joins two nets, or open\n"+
		"(as F1=open; of several: Q1.2,Q1.3=0.1ohm); repeatable", each(&f.tieEdits, tie))
	define(c, "copy", "2", "of a panel, the copy that is meant, or all\n"+
		"(default: all, with a doubt)", last(&f.copy, panelCopy))
	define(c, "role", "FILE=ROLE", "what a file is, as \"plane.art=copper L2\"; may be\n"+
		"given several times (docs/formats.md lists the roles)", each(&f.roles, fileRole))
	define(c, "ties", "auto|none", "whether parts of a few ohms join their nets\n"+
		"(default auto)", last(&f.ties, oneOf("auto", "none")))
	f.answerFlags.define(c)
}
