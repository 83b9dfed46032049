package cli

import (
	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/unit"

	"github.com/spf13/cobra"
)

type trialFlags struct {
	boardFlags
	nets                  []string
	faults, seed          uint64
	meter, kind, offModel string
	picture               string // file
	amps                  *unit.Current
	each                  bool
}

func trialCommand(env Env) *cobra.Command {
	var f trialFlags
	c := &cobra.Command{
		Use:   "trial BOARD",
		Short: "how well invented shorts on this board would be found",
		Long: boardOperand + `
Shorts are hidden where the two nets could touch, each on a unit with copper
of its own and a simulated meter, and the program looks for every one of them
as locate would, beside the lowest-reading method and the bound that no method
beats. Four-wire readings are of an injected current, on less off, to 2 µV;
of a hand-held, in the steps of its millivolts.
--off-model departs from what the program assumes: noise (five times the
stated), shell (an unmarked metal body bridges), copper (outer layers of
50 µm), slip (one tip on the neighbouring place), unsteady (the short's
resistance changes from touch to touch), unlisted (a place on no list).`,
		Example: `ohmward trial demo --nets +3V3,NRST --faults 12 --seed 1
Half of 12 shorts between +3V3 and NRST are found within …
…
How far it can be believed
…`,
		RunE: func(c *cobra.Command, args []string) error { return f.run(c, env, args[0]) },
	}
	define(c, "nets", "A,B", "the two nets, as +3V3,GND", last(&f.nets, twoNets))
	define(c, "faults", "N", "how many faults (default 200)", last(&f.faults, count))
	define(c, "seed", "N", "which faults: the same number, the same faults\n(default 0)", last(&f.seed, seed))
	define(c, "meter", "PROFILE", "the simulated meter (default bench-6.5-digit)", last(&f.meter, anyText))
	define(c, "kind", "two-wire|four-wire", "of the readings (default two-wire)", last(&f.kind, anyText))
	define(c, "amps", "A", "the current of four-wire readings (default 0.5)", given(&f.amps, current))
	define(c, "off-model", "NAME", "depart from the model: see above", last(&f.offModel, anyText))
	define(c, "picture", "FILE", "draw how often answers were right against how\n"+
		"sure they were, as a .png or .svg", last(&f.picture, picture))
	c.Flags().BoolVar(&f.each, "each", false, "list every fault")
	f.boardFlags.define(c)
	return c
}

func (f *trialFlags) run(c *cobra.Command, env Env, board string) error {
	if f.nets == nil {
		return misuse("as --nets +3V3,GND", "trial needs --nets: the two nets to hide shorts between")
	}
	var amps float64
	if f.amps != nil {
		if amps = float64(*f.amps); amps <= 0 {
			return misuse(helpHint(c), "--amps %g is no current", amps)
		}
	}
	k := &call{env, f.answerFlags, f.options()}
	return respond(k, func(o bench.Options) (*answer.Trial, error) {
		return bench.Trial(c.Context(), board, bench.TrialOptions{Options: o, Nets: f.nets,
			Faults: int(f.faults), Seed: f.seed, Meter: f.meter, Kind: f.kind, Amps: amps, OffModel: f.offModel,
			Each: f.each, Picture: f.picture})
	}, trialText)
}
