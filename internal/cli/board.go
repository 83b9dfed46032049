package cli

import (
	"ohmward/internal/answer"
	"ohmward/internal/bench"

	"github.com/spf13/cobra"
)

const boardOperand = `BOARD is a folder, a .zip or one IPC-2581 file; "demo" is the board built in.
Nothing is ever written into it.`

type listFlags struct {
	boardFlags
	at string // file of places
}

func boardCommand(env Env) *cobra.Command {
	var f listFlags
	c := &cobra.Command{
		Use:   "board BOARD",
		Short: "what was read: layers, holes, nets, parts, and every doubt",
		Long: boardOperand + `
Every file is listed with what it was taken for. With --at, the net at each of
many places is told as well, in the same order.`,
		Example: `ohmward board demo
demo: 60.0 × 45.0 mm, 2 copper layers, 78 nets, 93 parts

Layers
  layer  side    copper  file
  L1     top      35 µm  RL-40-copper-top.gbr
  …`,
		RunE: func(c *cobra.Command, args []string) error {
			var at []string
			if err := readJSON("at", f.at, &at); err != nil {
				return err
			}
			k := &call{env, f.answerFlags, f.options()}
			return respond(k, func(o bench.Options) (*answer.Board, error) {
				return bench.Board(c.Context(), args[0], at, o)
			}, boardText)
		},
	}
	define(c, "at", "FILE", "a JSON array of places, as [\"L1@12.30,45.60\", \"C7.1\"]", last(&f.at, anyText))
	f.boardFlags.define(c)
	return c
}
