package cli

import (
	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/unit"

	"github.com/spf13/cobra"
)

type currentFlags struct {
	boardFlags
	from, to, short string
	amps            *unit.Current
	shortOhms       unit.Resistance
	picture         string // file
}

// exampleShort is the short that heat is given for unless one is given.
const exampleShort = unit.Resistance(0.002)

func currentCommand(env Env) *cobra.Command {
	f := currentFlags{shortOhms: exampleShort}
	c := &cobra.Command{
		Use:   "current BOARD",
		Short: "where an injected current flows, and how much is safe",
		Long: boardOperand + `
Both places are on one net: pins, as C7.1, or L1@12.30,45.60. Or they are on
the two nets of a short, and --short says where those touch: the answer is then
the copper alone, without the short's own resistance. Safe is the current that
warms the weakest track by 2 K, by the curve fit of IPC-2221.`,
		Example: `ohmward current demo --from C3.2 --to C25.1 --amps 0.5
500 mA drops 34.76 mV over 69.5 mΩ of copper
…
Where the drop is
…
Hottest
…
Safe test current
…`,
		RunE: func(c *cobra.Command, args []string) error { return f.run(c, env, args[0]) },
	}
	define(c, "from", "PLACE", "where the current goes in", last(&f.from, anyText))
	define(c, "to", "PLACE", "where it comes out", last(&f.to, anyText))
	define(c, "amps", "A", "the current, as 0.5 or 100mA", given(&f.amps, current))
	define(c, "short", "PLACE/PLACE", "where the two nets touch,\nas L1@1.00,2.00/L1@1.20,2.00",
		last(&f.short, anyText))
	define(c, "short-ohms", "OHMS", "the short's own resistance, for its heat\n(default 2m)",
		last(&f.shortOhms, shortOhms))
	define(c, "picture", "FILE", "draw the current's density as a .png or .svg", last(&f.picture, picture))
	f.boardFlags.define(c)
	return c
}

func (f *currentFlags) run(c *cobra.Command, env Env, board string) error {
	if f.from == "" || f.to == "" || f.amps == nil {
		return misuse(helpHint(c), "name two places and a current: --from PLACE, --to PLACE and --amps A")
	}
	ask := bench.CurrentOptions{From: f.from, To: f.to, Amps: *f.amps, Short: f.short, ShortOhms: f.shortOhms,
		Picture: f.picture}
	return respond(&call{env, f.answerFlags, f.options()}, func(o bench.Options) (*answer.Current, error) {
		return bench.Current(c.Context(), board, ask, o)
	}, currentText)
}
