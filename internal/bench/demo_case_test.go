package bench

import (
	"context"
	"sync"
	"testing"

	"ohmward/internal/engine"
	"ohmward/internal/locate"
	"ohmward/internal/record"
)

// demoOpen is the demo's +3V3 against GND, solved once for all tests.
var demoOpen = sync.OnceValues(func() (*engine.Locator, error) {
	p, err := engine.Open(context.Background(), engine.DemoName, withStore())
	if err != nil {
		return nil, err
	}
	c := &record.Case{File: "case.toml", Board: engine.DemoName, Nets: [2]string{"+3V3", "GND"}}
	return p.Locator(context.Background(), c)
})

// demoLocator gives the demo's two nets before any reading.
func demoLocator(t *testing.T) *engine.Locator {
	t.Helper()
	w, err := demoOpen()
	if err != nil {
		t.Fatal(err)
	}
	own, inner := *w, *w.Pair
	own.Pair = &inner
	return &own
}

// weighed is a case on the demo that was weighed but not planned.
type weighed struct {
	*engine.Locator
	post *locate.Posterior
}

// weigh takes the readings and findings of a case's text.
func weigh(t *testing.T, text string) *weighed {
	t.Helper()
	head := "board = \"demo\"\nnets = [\"+3V3\", \"GND\"]\n[copper]\nscale_fraction = 0.05\n"
	c, err := record.Decode("case.toml", []byte(head+text))
	if err != nil {
		t.Fatal(err)
	}
	w := demoLocator(t)
	if w.Meter, err = engine.MeterOf(c.Meter); err != nil {
		t.Fatal(err)
	}
	w.CopperKnown = w.CopperUncertainty(c.Copper)
	if err := w.TakeAll(c); err != nil {
		t.Fatal(err)
	}
	post, err := w.Posterior()
	if err != nil {
		t.Fatal(err)
	}
	return &weighed{w, post}
}
