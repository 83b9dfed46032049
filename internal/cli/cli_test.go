package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/unit"

	"github.com/spf13/cobra"
)

func TestReport(t *testing.T) {
	for _, c := range []struct {
		err  error
		code int
		want string
	}{
		{nil, 0, ""},
		{errors.New("top.gbr:4: cut off"), 1, "ohmward: error: top.gbr:4: cut off\n"},
		{&answer.Error{Kind: answer.Bad, What: "no net GDN", Hint: "did you mean GND?"}, 1,
			"ohmward: error: no net GDN\nohmward: hint: did you mean GND?\n"},
		{&answer.Error{Kind: answer.Misuse, What: "x"}, 2, "ohmward: error: x\n"},
		{&answer.Error{Kind: answer.Doubtful, What: "two\nlines\x1b[31m"}, 3, "ohmward: error: two lines [31m\n"},
		{fmt.Errorf("reading: %w", &answer.Error{Kind: answer.Meter, What: "no reply"}), 4,
			"ohmward: error: no reply\n"},
		{fmt.Errorf("solving: %w", context.Canceled), 130, "ohmward: interrupted\n"},
	} {
		var out bytes.Buffer
		if code := report(&out, c.err); code != c.code || out.String() != c.want {
			t.Errorf("%v: code %d, want %d; got %q, want %q", c.err, code, c.code, out.String(), c.want)
		}
	}
}

// TestInterrupted: a command that does not look at its context still ends
// the program with 130.
func TestInterrupted(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	var out bytes.Buffer
	hang := make(chan error)
	stop()
	start := time.Now()
	if code := await(ctx, hang, &out, 50*time.Millisecond); code != exitInterrupted {
		t.Errorf("exit code %d", code)
	}
	if time.Since(start) > time.Minute {
		t.Error("waited too long")
	}
}

func testCall(json, timing bool) (*call, *bytes.Buffer) {
	var out bytes.Buffer
	return &call{Env: Env{Out: &out, Err: &bytes.Buffer{}}, answerFlags: answerFlags{json, timing}}, &out
}

// TestCost: timing stands in the JSON when asked for, and only then.
func TestCost(t *testing.T) {
	for _, timing := range []bool{false, true} {
		k, out := testCall(true, timing)
		a, err := work(k, func(o bench.Options) (*answer.Suspects, error) {
			o.Progress("reading")
			o.Progress("meshing")
			o.Progress("reading")
			return &answer.Suspects{Header: answer.NewHeader(), Nets: []string{"A<B", "C"}}, nil
		})
		if err != nil {
			t.Fatal(err)
		}
		if err := k.print(a, nil); err != nil {
			t.Fatal(err)
		}
		var got map[string]any
		if err := json.Unmarshal(out.Bytes(), &got); err != nil {
			t.Fatal(err)
		}
		if got["schema"] != 1.0 || !strings.Contains(out.String(), "A<B") {
			t.Errorf("answer %s", out)
		}
		times, _ := got["timing"].(map[string]any)
		_, memory := got["peak_rss_mb"].(float64)
		if (len(times) == 3) != timing || memory != timing {
			t.Errorf("asked %v: timing %v, memory %v", timing, times, memory)
		}
	}
}

// TestNothingHalfWritten: an answer that JSON cannot hold prints nothing.
func TestNothingHalfWritten(t *testing.T) {
	k, out := testCall(true, false)
	err := k.print(&answer.Suspects{Elsewhere: math.NaN()}, nil)
	if err == nil || out.Len() > 0 {
		t.Errorf("error %v, printed %q", err, out)
	}
}

// TestDoubtfulIsPrinted: an answer with a Doubtful error is printed, one with
// any other error is not usable.
func TestDoubtfulIsPrinted(t *testing.T) {
	if !usable(&answer.Error{Kind: answer.Doubtful}) || usable(&answer.Error{Kind: answer.Bad}) ||
		usable(errors.New("x")) || !usable(nil) {
		t.Error("usable is wrong")
	}
}

// TestProgress: shown on a terminal only, and only after a second.
func TestProgress(t *testing.T) {
	var out bytes.Buffer
	p := newProgress(Env{Err: &out, ErrTTY: true})
	p.Stage("meshing")
	p.draw(p.start.Add(patience / 2))
	if out.Len() > 0 {
		t.Errorf("shown at once: %q", out.String())
	}
	p.draw(p.start.Add(3 * patience))
	if out.String() != clearLine+"meshing … 3 s" {
		t.Errorf("shown %q", out.String())
	}
	p.End()
	if !strings.HasSuffix(out.String(), clearLine) {
		t.Error("the line stays")
	}
}

// TestCommandTable: every command has what its help needs, and flags that say
// what they are about.
func TestCommandTable(t *testing.T) {
	for _, c := range commands(Env{}) {
		if c.Short == "" || c.Long == "" || c.RunE == nil || !strings.HasPrefix(c.Example, "ohmward "+c.Name()) {
			t.Errorf("%s lacks something", c.Name())
		}
		for _, f := range flagsOf(c) {
			if f.Usage == "" || f.Shorthand != "" || f.NoOptDefVal == "" && f.Value.Type() == "" {
				t.Errorf("%s --%s lacks something", c.Name(), f.Name)
			}
		}
		if c.Name() == "completion" {
			continue // its answer is a script
		}
		if c.Flag("json") == nil || c.Flag("timing") == nil {
			t.Errorf("%s has no --json or --timing", c.Name())
		}
	}
}

// TestParseAnyOrder: flags stand before, after and between operands, with the
// value joined or apart; after -- all are operands.
func TestParseAnyOrder(t *testing.T) {
	for _, c := range []struct {
		args     string
		operands string
		ask      answerFlags
	}{
		{"--copper=1oz x --json --temp 25C", "x", answerFlags{json: true}},
		{"x --timing --copper 2oz --temp=25C --copper 1oz", "x", answerFlags{timing: true}},
		{"--temp 25C --copper 1oz -- --odd-name", "--odd-name", answerFlags{}},
	} {
		var f boardFlags
		var got []string
		command := &cobra.Command{Use: "test FILE", RunE: func(_ *cobra.Command, args []string) error {
			got = args
			return nil
		}}
		f.define(command)
		command.SetArgs(strings.Fields(c.args))
		if err := command.Execute(); err != nil {
			t.Fatal(err)
		}
		o := f.options()
		if strings.Join(got, " ") != c.operands || f.answerFlags != c.ask ||
			o.Tip != nil || !reflect.DeepEqual(o.Copper, new(unit.Ounces(1))) || !reflect.DeepEqual(o.Temp, new(unit.Celsius(25))) {
			t.Errorf("%s: operands %q, options %+v", c.args, got, o)
		}
	}
}

// TestOptions: every flag of a board reaches the options it is for.
func TestOptions(t *testing.T) {
	var f boardFlags
	command := &cobra.Command{Use: "test"}
	f.define(command)
	none := f.options()
	if !reflect.DeepEqual(none, bench.Options{}) {
		t.Errorf("no flags make %+v", none)
	}
	err := command.ParseFlags(strings.Fields("--copper 1um --plating 2um --thickness 3mm --temp 4C --tip 5mm " +
		"--close 6um --etch 7um --filled pins --tie F1=open --tie F2=2ohm --copy 2 " +
		"--role a=b --role c=d --ties none"))
	if err != nil {
		t.Fatal(err)
	}
	um := unit.Micrometre
	got := f.options()
	for i, c := range []struct{ got, want *unit.Length }{
		{got.Copper, new(1 * um)}, {got.Plating, new(2 * um)}, {got.Thickness, new(3000 * um)}, {got.Tip, new(5000 * um)},
		{got.Close, new(6 * um)}, {got.Etch, new(7 * um)},
	} {
		if c.got == nil || fmt.Sprint(*c.got) != fmt.Sprint(*c.want) {
			t.Errorf("length %d: got %v, want %v", i, c.got, c.want)
		}
	}
	if !reflect.DeepEqual(got.Temp, new(unit.Celsius(4))) {
		t.Errorf("temperature: got %v", got.Temp)
	}
	got.Copper, got.Plating, got.Thickness, got.Tip, got.Close, got.Etch, got.Temp = nil, nil, nil, nil, nil, nil, nil
	want := bench.Options{
		Filled: "pins", Ties: "none", Copy: "2", Roles: []string{"a=b", "c=d"},
		TieEdits: []bench.TieEdit{{Part: "F1", Open: true}, {Part: "F2", Ohms: 2}},
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v\nwant %+v", got, want)
	}
}
