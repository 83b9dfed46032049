package cli

import (
	"ohmward/internal/answer"
	"ohmward/internal/bench"

	"github.com/spf13/cobra"
)

type locateFlags struct {
	boardFlags
	budget  bool
	picture string // file
}

func locateCommand(env Env) *cobra.Command {
	var f locateFlags
	c := &cobra.Command{
		Use:   "locate CASE",
		Short: "where the short is, the next reading and the next repair",
		Long: `CASE is a case file (.toml or .json): the board, the two nets, the meter, and
the readings and findings so far. The least that one holds, and a reading:

  board = "../board"          # relative to the case file
  nets  = ["+3V3", "GND"]
  [[reading]]
  from = "C9.1"
  to   = "C9.2"
  ohms = 0.0187               # or as the meter shows it: "18.7m", "OL"

Without a reading it says where to touch first.`,
		Example: `ohmward locate demo/cases/shell.toml
The short is within 1.9 mm of L1@42.67,12.41, between J3.4 and J3.S5.
…
Next, what tells most in its time first
…
Then try, in this order
…`,
		RunE: func(c *cobra.Command, args []string) error {
			k := &call{env, f.answerFlags, f.options()}
			return respond(k, func(o bench.Options) (*answer.Location, error) {
				return bench.Locate(c.Context(), args[0], f.picture, o)
			}, func(p *page, a *answer.Location) { locateText(p, a, f.budget) })
		},
	}
	c.Flags().BoolVar(&f.budget, "budget", false, "what every reading's uncertainty is made of")
	define(c, "picture", "FILE", "draw the nets, the suspects and the next two\nplaces as a .png or .svg",
		last(&f.picture, picture))
	f.boardFlags.define(c)
	return c
}
