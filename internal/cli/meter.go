package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strconv"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/unit"

	"github.com/spf13/cobra"
)

type meterFlags struct {
	answerFlags
	fourWire, steady bool
	nplc             float64
	baud             uint64
	span, limit      unit.Resistance
	until            string
}

func meterCommand(env Env) *cobra.Command {
	var f meterFlags
	c := &cobra.Command{
		Use:   "meter ACTION [ADDR]",
		Short: "find, read or watch a meter on a wire",
		Long: `ACTION is one of these:

  find        the instruments that may be there: serial ports, USB devices, and
              what announces itself on the local network; none is sent anything
  read ADDR   one value
  watch ADDR  the reading, large, while a short is reworked, until an interrupt

ADDR is where the meter is: TCPIP0::host::5025::SOCKET, ASRL/dev/ttyUSB0::INSTR
or USB0::0x1234::0x5678::serial::INSTR. A meter that speaks SCPI will do. What
is changed in its set-up is put back at the end. Leads are not nulled here.

A fallen lead reads like a repair. So watch says "seen open" and asks for a
touch again; "cleared" takes two touches, both tips lifted in between, that read
the same. Where the healthy net reads open, it stays at "seen open". With --json
it prints a JSON object a line: for each change of state, and each second.`,
		Example: `ohmward meter find
Instruments that may be there: …`,
		RunE: func(c *cobra.Command, args []string) error { return f.run(c, env, args) },
		ValidArgsFunction: func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			return either(len(args) == 0, []string{"find", "read", "watch"}, nil), cobra.ShellCompDirectiveNoFileComp
		},
	}
	c.Flags().BoolVar(&f.fourWire, "four-wire", false, "four-wire ohms (default: two-wire)")
	c.Flags().BoolVar(&f.steady, "steady", false, "read: wait for a firm touch, and take its value")
	define(c, "nplc", "N", "integration in periods of the mains\n(default: the meter's own)", last(&f.nplc,
		periods))
	define(c, "range", "OHMS", "hold this range, as 100 (default: the meter\nchooses)", last(&f.span, shortOhms))
	define(c, "baud", "N", "speed of a serial port (default 9600)", last(&f.baud, count))
	define(c, "limit", "OHMS", "watch: what a short stays below (default 1)", last(&f.limit, shortOhms))
	define(c, "until", "open|cleared", "watch: end once the short is seen open, or cleared",
		last(&f.until, oneOf(bench.WatchSeenOpen, bench.WatchCleared)))
	f.answerFlags.define(c)
	return c
}

// periods reads an integration time in periods of the mains.
func periods(text string) (float64, error) {
	n, err := strconv.ParseFloat(text, 64)
	if err != nil || !(n >= 0.001 && n <= 1000) {
		return 0, fmt.Errorf("%q is no number of periods from 0.001 to 1000", text)
	}
	return n, nil
}

func (f *meterFlags) run(c *cobra.Command, env Env, args []string) error {
	k := &call{Env: env, answerFlags: f.answerFlags}
	if args[0] == "find" && len(args) == 1 {
		return respond(k, func(bench.Options) (*answer.Meters, error) { return bench.MeterFind(c.Context()) },
			metersText)
	}
	switch {
	case args[0] == "find":
		return misuse(helpHint(c), "meter find takes no address")
	case args[0] != "read" && args[0] != "watch":
		return misuse(helpHint(c), "%q is none of find, read and watch", args[0])
	case len(args) < 2:
		return misuse("ohmward meter find lists what is there", "ADDR is missing: ohmward meter %s ADDR", args[0])
	}
	o := bench.MeterOptions{Address: args[1], FourWire: f.fourWire, NPLC: f.nplc, Range: f.span,
		Baud:   int(f.baud),
		Steady: f.steady}
	if args[0] == "read" {
		return respond(k, func(bench.Options) (*answer.MeterReading, error) {
			return bench.MeterRead(c.Context(), o)
		}, readingText)
	}
	limit := f.limit
	if limit == 0 {
		limit = unit.OhmUnit
	}
	watch := bench.WatchOptions{MeterOptions: o, Limit: limit, Until: f.until}
	if f.json {
		l := &watchLines{out: json.NewEncoder(env.Out), now: time.Now}
		return bench.MeterWatch(c.Context(), watch, l.begin, l.tick)
	}
	d := &watchDisplay{Env: env, limit: limit}
	return bench.MeterWatch(c.Context(), watch, d.begin, d.tick)
}

// watchDisplay shows a watch: on a terminal the reading in large figures, drawn
// anew in place; elsewhere a line for each change of state.
type watchDisplay struct {
	Env
	limit unit.Resistance
	lines int  // that stand below the heading, to be drawn over
	lost  bool // the meter was lost when last heard of
}

func (d *watchDisplay) print(words func(*page)) {
	var out bytes.Buffer
	words(&page{out: &out, colour: d.Colour, columns: d.Columns})
	_, _ = d.Out.Write(out.Bytes()) // a closed output shows at the end
}

func (d *watchDisplay) begin(id answer.MeterIdentity) {
	d.print(func(p *page) {
		p.Headline("Watching with %s %s at %s", id.Maker, id.Model, id.Address)
	})
}

func (d *watchDisplay) tick(t bench.WatchTick) {
	if t.Lost != nil {
		if !d.lost {
			fmt.Fprintf(d.Err, "ohmward: note: %s; it is tried again\n", oneLine(t.Lost.Error()))
			d.lines = 0
		}
		d.lost = true
		return
	}
	if d.lost {
		fmt.Fprintln(d.Err, "ohmward: note: the meter answers again")
		d.lost = false
	}
	if d.OutTTY {
		d.draw(t)
	} else if t.Changed {
		d.print(func(p *page) { p.Line("%s", watchLine(t)) })
	}
}

// draw draws over what stood there.
func (d *watchDisplay) draw(t bench.WatchTick) {
	lines := watchPicture(t, d.limit, max(leastColumns, min(d.Columns, mostColumns)), d.Colour)
	var b bytes.Buffer
	if t.Changed && t.State != bench.WatchWaiting {
		b.WriteByte('\a')
	}
	if d.lines > 0 {
		fmt.Fprintf(&b, "\x1b[%dA", d.lines)
	}
	for _, line := range lines {
		b.WriteString("\r\x1b[K" + line + "\n")
	}
	d.lines = len(lines)
	_, _ = d.Out.Write(b.Bytes())
}
