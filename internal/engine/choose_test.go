package engine

import (
	"context"
	"errors"
	"strings"
	"testing"
)

// TestChooseNets: two names of one net are refused with what joins them and
// the flag that takes it out, which then does so.
func TestChooseNets(t *testing.T) {
	p, err := Open(context.Background(), "demo", Options{})
	if err != nil {
		t.Fatal(err)
	}
	choose := func(p *Board, nets ...string) *Error {
		t.Helper()
		err := (&Pair{Board: p}).ChooseNets(nets)
		var e *Error
		if err != nil && !errors.As(err, &e) {
			t.Fatal(err)
		}
		return e
	}
	for _, c := range []struct{ a, b, what, hint string }{
		{"+3V3", "+3V3A", "+3V3 - FB1 - +3V3A", "--tie FB1=open"},
		{"VBAT_IN", "VBAT", "VBAT_IN - F1 - VBAT", "--tie F1=open"},
		{"+3V3A", "+3V3_RF", "+3V3A - FB1 - +3V3 - R4 - +3V3_RF", "--tie R4=open"},
		{"SW", "+3V3_RF", "SW - L1 - +3V3 - R4 - +3V3_RF", "--tie R4=open"},
		{"GND", "GND", "GND and GND are one piece of copper, called GND", ""},
		{"GND", "C1.1", "GND and C1.1 are one piece of copper, called GND", ""},
	} {
		e := choose(p, c.a, c.b)
		if e == nil || !strings.Contains(e.What, c.what) || !strings.Contains(e.Hint, c.hint) {
			t.Errorf("%s, %s: %+v, want %s and %s", c.a, c.b, e, c.what, c.hint)
			continue
		}
		part, _, found := strings.Cut(strings.TrimPrefix(c.hint, "--tie "), "=open")
		if !found {
			continue
		}
		apart := *p
		if apart.Ties, err = p.TiesOf(Options{TieEdits: []TieEdit{{Part: part, Open: true}}}); err != nil {
			t.Fatal(err)
		}
		if e := choose(&apart, c.a, c.b); e != nil {
			t.Errorf("%s, %s with %s: %+v", c.a, c.b, c.hint, e)
		}
	}
	if e := choose(p, "+3V3", "GND"); e != nil {
		t.Errorf("%+v", e)
	}
}
