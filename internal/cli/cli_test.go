package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
)

func TestReport(t *testing.T) {
	for _, c := range []struct {
		err  error
		code int
		want string
	}{
		{nil, 0, ""},
		{errors.New("top.gbr:4: cut off"), 1, "ohmward: error: top.gbr:4: cut off\n"},
		{&answer.Error{Kind: answer.Bad, What: "no net GDN", Hint: "did you mean GND?"}, 1, "ohmward: error: no net GDN\nohmward: hint: did you mean GND?\n"},
		{&answer.Error{Kind: answer.Misuse, What: "x"}, 2, "ohmward: error: x\n"},
		{&answer.Error{Kind: answer.Doubtful, What: "two\nlines\x1b[31m"}, 3, "ohmward: error: two lines [31m\n"},
		{fmt.Errorf("reading: %w", &answer.Error{Kind: answer.Meter, What: "no reply"}), 4, "ohmward: error: no reply\n"},
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
	if time.Since(start) > 5*time.Second {
		t.Error("waited too long")
	}
}

func testCall(json, timing bool) (*call, *bytes.Buffer) {
	var out bytes.Buffer
	return &call{Env: Env{Out: &out, Err: &bytes.Buffer{}}, set: settings{json: json, timing: timing}}, &out
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
	if !usable(&answer.Error{Kind: answer.Doubtful}) || usable(&answer.Error{Kind: answer.Bad}) || usable(errors.New("x")) || !usable(nil) {
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

// TestCommandTable: every row has what its help needs, and flags are told
// apart.
func TestCommandTable(t *testing.T) {
	for _, c := range commands() {
		if c.purpose == "" || c.about == "" || c.run == nil || !strings.HasPrefix(c.example, "ohmward "+c.name) {
			t.Errorf("%s lacks something", c.name)
		}
		seen := map[string]bool{}
		for _, o := range c.flags {
			if seen[o.name] || o.about == "" || o.set == nil {
				t.Errorf("%s --%s is twice or lacks something", c.name, o.name)
			}
			seen[o.name] = true
		}
		if !seen["json"] || !seen["timing"] {
			t.Errorf("%s has no --json or --timing", c.name)
		}
	}
}

func TestParseAnyOrder(t *testing.T) {
	c := find("board")
	k, err := c.parse([]string{"--copper=1oz", "x", "--json", "--temp", "25C"}, Env{})
	if err != nil {
		t.Fatal(err)
	}
	if len(k.operands) != 1 || k.operands[0] != "x" || !k.set.json || !k.set.GivenCopper || !k.set.GivenTemp || k.set.GivenTip {
		t.Errorf("%+v", k)
	}
	k, err = c.parse([]string{"--", "--odd-name"}, Env{})
	if err != nil || k.operands[0] != "--odd-name" {
		t.Errorf("%+v, %v", k, err)
	}
}
