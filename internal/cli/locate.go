package cli

import (
	"ohmward/internal/answer"
	"ohmward/internal/bench"

	"github.com/spf13/cobra"
)

type locateFlags struct {
	boardFlags
	budget   bool
	picture  string // file
	nets     []string
	meter    string
	readings []bench.Reading
	save     string // file
	live     bool   // read a meter on a wire
	at       string // its address
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

Without a reading it says where to touch first. --reading takes one more, and
writes it into the case once it is answered. Instead of CASE a board with --nets
will do; --save makes a case of it.

--live leads the case in the terminal as the page does: where to touch, each
value taken from the meter once it is steady, and written down at once.`,
		Example: `ohmward locate demo/cases/shell.toml
The short is within 2.1 mm of L1@42.7,12.3, between J3.4 and J3.S5.
…
Next, what tells most in its time first
…
Then try, in this order
…`,
		RunE: func(c *cobra.Command, args []string) error { return f.run(c, env, args[0]) },
	}
	define(c, "reading", "FROM,TO=OHMS", "one more, as C9.1,C9.2=18.7m; four places are\n"+
		"I+, I-, V+ and V- of a four-wire one; repeatable", each(&f.readings, takenReading))
	define(c, "nets", "A,B", "the two nets, with a board instead of a case", last(&f.nets, twoNets))
	define(c, "meter", "PROFILE", "of the meter, with a board instead of a case\n(default bench-6.5-digit)",
		last(&f.meter, anyText))
	define(c, "save", "FILE", "the case file to make, .toml or .json, with a\nboard instead of a case",
		last(&f.save, anyText))
	c.Flags().BoolVar(&f.budget, "budget", false, "what every reading's uncertainty is made of")
	define(c, "picture", "FILE", "draw the nets, the suspects and the next two\nplaces as a .png or .svg",
		last(&f.picture, picture))
	c.Flags().BoolVar(&f.live, "live", false, "lead the case here, in the terminal, and take each\n"+
		"reading from a meter on a wire once it is steady")
	define(c, "at", "ADDR", "the meter's address with --live, as meter find has\nit; the case remembers it", last(&f.at, anyText))
	f.boardFlags.define(c)
	return c
}

func (f *locateFlags) run(c *cobra.Command, env Env, where string) error {
	isCase := bench.IsCase(where)
	switch {
	case isCase && (f.nets != nil || f.meter != "" || f.save != ""):
		return misuse("leave them out; a case file is edited by hand or at the bench",
			"--nets, --meter and --save go with a board; %s is a case", where)
	case !isCase && f.nets == nil:
		return misuse("as ohmward locate BOARD --nets +3V3,GND --reading C9.1,C9.2=18.7m --save unit17.toml",
			"%s is no case file (.toml or .json), and --nets names no two nets on a board", where)
	}
	k := &call{env, f.answerFlags, f.options()}
	switch {
	case !f.live && f.at != "":
		return misuse("add --live", "--at goes with --live")
	case f.live && (!isCase || f.readings != nil || f.picture != "" || f.json || f.budget):
		return misuse("as ohmward locate --live CASE --at ADDR",
			"--live leads a case: it has no board, --reading, --picture, --budget or --json")
	case f.live:
		return f.runLive(c.Context(), k, where)
	}
	return respond(k, func(o bench.Options) (*answer.Location, error) {
		if isCase && f.readings == nil {
			return bench.Locate(c.Context(), where, f.picture, o)
		}
		return bench.LocateAnd(c.Context(), where, bench.SaveOptions{Nets: f.nets, Meter: f.meter,
			Readings: f.readings, Save: f.save, Picture: f.picture}, o)
	}, func(p *page, a *answer.Location) { locateText(p, a, f.budget) })
}
