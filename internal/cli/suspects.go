package cli

import (
	"ohmward/internal/answer"
	"ohmward/internal/bench"

	"github.com/spf13/cobra"
)

type suspectsFlags struct {
	boardFlags
	nets []string
}

func suspectsCommand(env Env) *cobra.Command {
	var f suspectsFlags
	c := &cobra.Command{
		Use:   "suspects BOARD",
		Short: "every place where two nets could touch, before any reading",
		Long: boardOperand + `
Without --nets, all pairs of nets are looked at: where this design is prone to
bridging.`,
		Example: `ohmward suspects demo --nets +3V3,GND
170 places where +3V3 and GND could touch
…`,
		RunE: func(c *cobra.Command, args []string) error {
			k := &call{env, f.answerFlags, f.options()}
			return respond(k, func(o bench.Options) (*answer.Suspects, error) {
				return bench.Suspects(c.Context(), args[0], f.nets, o)
			}, suspectsText)
		},
	}
	define(c, "nets", "A,B", "the two nets, as +3V3,GND", last(&f.nets, twoNets))
	f.boardFlags.define(c)
	return c
}
