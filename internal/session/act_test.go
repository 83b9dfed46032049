package session

import (
	"slices"
	"testing"

	"ohmward/internal/answer"
	"ohmward/internal/record"
	"ohmward/unit"
)

// TestDropReading: with a reading taken out, what came before, between and
// after the others keeps its place among them; one that a warmed spot was
// watched on stays.
func TestDropReading(t *testing.T) {
	rise := unit.Resistance(2e-3)
	made := func() *record.Case {
		c := &record.Case{Steps: &record.Steps{Checked: 3}}
		for i := range 4 {
			c.Readings = append(c.Readings, record.Reading{Ohms: unit.Resistance(float64(i+1) * 1e-3)})
		}
		c.Findings = []record.Finding{
			{Done: "cleaned", After: 1}, {Done: "warmed", After: 4, Reading: 3, Change: &rise}, {Done: "chilled", After: 4, Change: &rise}, {Done: "reflowed", After: 4},
		}
		c.Nulls = []record.Null{{After: 0}, {After: 2}}
		return c
	}
	left := func(c *record.Case) (ohms []float64, after, nulls []int) {
		for _, r := range c.Readings {
			ohms = append(ohms, float64(r.Ohms)*1e3)
		}
		for _, f := range c.Findings {
			after = append(after, f.After)
		}
		for _, n := range c.Nulls {
			nulls = append(nulls, n.After)
		}
		return ohms, after, nulls
	}
	c := made()
	if keep, err := dropReading(nil, c, answer.Act{N: 1}); !keep || err != nil {
		t.Fatal(keep, err)
	}
	ohms, after, nulls := left(c)
	if !slices.Equal(ohms, []float64{1, 3, 4}) || !slices.Equal(after, []int{1, 3, 3, 3}) || !slices.Equal(nulls, []int{0, 1}) ||
		c.Findings[1].Reading != 2 || c.Findings[2].Reading != 0 || c.Steps.Checked != 2 {
		t.Errorf("readings %v, findings after %v, watched %d, nulls after %v, checked at %d", ohms, after, c.Findings[1].Reading, nulls, c.Steps.Checked)
	}
	for n, why := range map[int]string{2: "named by a finding", 3: "the last before one", 4: "not there", -1: "not there"} {
		c := made()
		if _, err := dropReading(nil, c, answer.Act{N: n}); err == nil {
			t.Errorf("reading %d went, which is %s", n+1, why)
		}
	}
}
