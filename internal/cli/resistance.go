package cli

import (
	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/unit"

	"github.com/spf13/cobra"
)

type resistanceFlags struct {
	boardFlags
	from, to    string
	pairs       string // file
	accuracy    *float64
	sensitivity bool
	warm        []string
	warmRadius  *unit.Length
}

func resistanceCommand(env Env) *cobra.Command {
	var f resistanceFlags
	c := &cobra.Command{
		Use:   "resistance BOARD",
		Short: "predicted copper resistance between two places on one net",
		Long: boardOperand + `
A place is a pin, as C7.1, or a layer with millimetres in the files' own frame,
as L1@12.30,45.60. The two figures beside the answer bracket the program's own
numerical error. With --pairs, many pairs are answered at once. Between two nets
that parts of a few ohms join, the parts are taken along and named.`,
		Example: `ohmward resistance demo --from C5.1 --to R4.1
42.3 mΩ
  net      +3V3
  from     C5.1 (L1@24.4,22.9)
  to       R4.1 (L1@38.8,31.7)
  bracket  42.1 mΩ to 42.4 mΩ (± 0.3 %)`,
		RunE: func(c *cobra.Command, args []string) error { return f.run(c, env, args[0]) },
	}
	define(c, "from", "PLACE", "one place", last(&f.from, anyText))
	define(c, "to", "PLACE", "the other", last(&f.to, anyText))
	define(c, "accuracy", "0.3%", "refine until the bracket is within this\n"+
		"(default 0.3%; smaller takes longer)", given(&f.accuracy, accuracy))
	define(c, "pairs", "FILE", "a JSON array of {\"from\": PLACE, \"to\": PLACE}", last(&f.pairs, anyText))
	c.Flags().BoolVar(&f.sensitivity, "sensitivity", false,
		"what it is made of: each layer, the holes, each\nlow-ohm part, and what a kelvin adds")
	define(c, "warm", "PLACE", "what a kelvin in a spot there adds (with\n--sensitivity); repeatable",
		each(&f.warm, anyText))
	define(c, "warm-radius", "2.5mm", "of that spot, through all layers (default 2.5mm)",
		given(&f.warmRadius, length(10*unit.Micrometre, 100*unit.Millimetre)))
	f.boardFlags.define(c)
	return c
}

func (f *resistanceFlags) run(c *cobra.Command, env Env, board string) error {
	pairs, err := f.places(c)
	if err != nil {
		return err
	}
	k := &call{env, f.answerFlags, f.options()}
	a, err := work(k, func(o bench.Options) (*answer.Resistances, error) {
		return bench.Resistance(c.Context(), board, pairs, o)
	})
	if !usable(err) {
		return err
	}
	if f.pairs == "" {
		one := a.Single()
		if one.Error != "" {
			return &answer.Error{Kind: answer.Bad, What: one.Error}
		}
		return printed(k, one, err, resistanceText)
	}
	unanswered := 0
	for _, r := range a.Results {
		unanswered += either(r.Error != "", 1, 0)
	}
	if err == nil && unanswered > 0 {
		err = &answer.Error{Kind: answer.Doubtful,
			What: many(unanswered, "pair") + " could not be answered: see \"error\" in the results"}
	}
	return printed(k, a, err, resistanceTable)
}

// places gives the pairs of --from and --to or of --pairs.
func (f *resistanceFlags) places(c *cobra.Command) (pairs []answer.Pair, err error) {
	switch {
	case f.pairs != "" && (f.from != "" || f.to != ""):
		return nil, misuse(helpHint(c), "--pairs stands alone, without --from and --to")
	case f.pairs != "":
		err = readJSON("pairs", f.pairs, &pairs)
		return pairs, err
	case f.from == "" || f.to == "":
		return nil, misuse(helpHint(c), "name two places: --from PLACE and --to PLACE")
	}
	return []answer.Pair{{From: f.from, To: f.to}}, nil
}
