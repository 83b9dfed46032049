package cli

import (
	"bufio"
	"fmt"
	"net"
	"strconv"
	"strings"

	"ohmward/internal/answer"
	"ohmward/internal/bench"

	"github.com/spf13/cobra"
)

type practiceFlags struct {
	boardFlags
	nets         []string
	auto         bool
	seed         uint64
	units        uint64 // one after the other
	fault, meter string
	serve        string // where a simulated meter listens
}

func practiceCommand(env Env) *cobra.Command {
	var f practiceFlags
	c := &cobra.Command{
		Use:   "practice [BOARD]",
		Short: "the main job on an invented unit with a hidden short",
		Long: `A unit of the demo board, or of BOARD with two of its nets, with a hidden
short, and a simulated meter with its own noise, lead residue and copper. The
program asks for readings, narrows down, says where, and then shows the truth.
Without --auto you choose: a number of its list, two places for a two-wire
reading, four (I+ I- V+ V-) for a four-wire one, or done.

--serve puts the unit behind a simulated meter that answers SCPI as a real one
does, until an interrupt; docs/meter.md has its commands. With --auto the search
itself reads that meter over its socket, three steady touches a reading.

--units N searches N units by itself, from --seed on, and sums them up.`,
		Example: `ohmward practice --auto --seed 3
On the bench: unit 3 of the river-level logger. …
…
Found after 4 readings: …
  the truth  …
  error      …`,
		RunE: func(c *cobra.Command, args []string) error { return f.run(c, env, args) },
	}
	c.Flags().BoolVar(&f.auto, "auto", false, "let the program choose every reading")
	define(c, "seed", "N", "which unit: the same number, the same unit\n(default 0)", last(&f.seed, seed))
	define(c, "units", "N", "with --auto: so many units, one after the other", last(&f.units, unitCount))
	define(c, "fault", "KIND", "gap, part, layers or metal (default: drawn)", last(&f.fault, anyText))
	define(c, "meter", "PROFILE", "the simulated meter (default bench-6.5-digit)", last(&f.meter, anyText))
	define(c, "nets", "A,B", "the two nets, with BOARD", last(&f.nets, twoNets))
	define(c, "serve", "ADDR:PORT",
		"where the simulated meter listens, as\n127.0.0.1:5025; port 0 takes a free one",
		last(&f.serve, listenAddress))
	f.boardFlags.define(c)
	return c
}

func (f *practiceFlags) run(c *cobra.Command, env Env, board []string) error {
	if len(board) > 0 && board[0] != "demo" && f.nets == nil {
		return misuse("as ohmward practice BOARD --nets +3V3,GND", "%s needs --nets: the two nets to hide a short between",
			board[0])
	}
	if f.units > 0 && !f.auto {
		return misuse("add --auto", "--units needs --auto: a dialogue is about one unit")
	}
	if f.units > 0 {
		return f.runUnits(c, env, board)
	}
	if f.serve != "" && !f.auto {
		return f.serveMeter(c, env, board)
	}
	if f.json && !f.auto {
		return misuse("add --auto", "--json needs --auto: a dialogue is not JSON")
	}
	if !f.auto {
		env.ErrTTY = false // progress would overwrite what is being typed
	}
	var talk bench.Talk
	if !f.json {
		talk = &dialogue{Env: env, auto: f.auto, in: bufio.NewScanner(env.In)}
	}
	k := &call{env, f.answerFlags, f.options()}
	return respond(k, func(o bench.Options) (*answer.Practice, error) {
		p := f.practice(o, board)
		p.Auto, p.Talk, p.Listen = f.auto, talk, f.serve
		return bench.Practice(c.Context(), p)
	}, practiceText)
}

// mostUnits bounds a run.
const mostUnits = 10_000

func unitCount(text string) (uint64, error) {
	n, err := strconv.ParseUint(text, 10, 64)
	if err != nil || n < 1 || n > mostUnits {
		return 0, fmt.Errorf("%q is no number of units from 1 to %d", text, mostUnits)
	}
	return n, nil
}

// runUnits searches units one after the other.
func (f *practiceFlags) runUnits(c *cobra.Command, env Env, board []string) error {
	k := &call{env, f.answerFlags, f.options()}
	return respond(k, func(o bench.Options) (*answer.PracticeRun, error) {
		p := f.practice(o, board)
		p.Listen = f.serve
		return bench.PracticeRun(c.Context(), p, int(f.units), func(u answer.PracticeUnit) {
			o.Progress(fmt.Sprintf("unit %d", u.Seed+1))
		})
	}, practiceRunText)
}

// practice sets up the unit.
func (f *practiceFlags) practice(o bench.Options, board []string) bench.PracticeOptions {
	return bench.PracticeOptions{Options: o, Board: strings.Join(board, ""), Nets: f.nets, Seed: f.seed,
		Fault: f.fault,
		Meter: f.meter}
}

// serveMeter answers as a meter until an interrupt.
func (f *practiceFlags) serveMeter(c *cobra.Command, env Env, board []string) error {
	var served *bench.PracticeBench
	k := &call{env, f.answerFlags, f.options()}
	err := respond(k, func(o bench.Options) (_ *answer.PracticeServed, err error) {
		if served, err = bench.ServePractice(c.Context(), f.practice(o, board), f.serve); err != nil {
			return nil, err
		}
		return served.Answer, nil
	}, servedText)
	if err != nil {
		return err
	}
	return served.Serve(c.Context())
}

// listenAddress reads where to listen: a host and a port.
func listenAddress(text string) (string, error) {
	host, number, err := net.SplitHostPort(text)
	if err == nil {
		_, err = port(number)
	}
	if err != nil || host == "" {
		return "", fmt.Errorf("%q is not a host and a port, as 127.0.0.1:5025", text)
	}
	return text, nil
}
