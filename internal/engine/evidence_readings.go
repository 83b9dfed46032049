package engine

import (
	"math"
	"slices"

	"ohmward/internal/locate"
	"ohmward/internal/record"
)

// TakeAll takes a case's readings and findings, in the order they came.
func (w *Locator) TakeAll(c *record.Case) error {
	t := &evidenceReader{Locator: w, c: c, findings: InOrder(c.Findings)}
	t.states = w.states(w.Ctx)
	if err := contradiction(c, t.findings); err != nil {
		return err
	}
	for i := range c.Readings {
		if err := t.read(i); err != nil {
			return readingError(c, i, err)
		}
	}
	for i := range t.findings {
		if err := t.find(i); err != nil {
			return err
		}
	}
	w.heated = w.HeatCounts(c.Findings)
	t.unreachable()
	return t.settle()
}

// read takes reading i in the network as it then was.
func (t *evidenceReader) read(i int) error {
	r := t.c.Readings[i]
	at, err := t.ContactsOf(r)
	if err != nil {
		return err
	}
	var u float64
	put(&u, r.U)
	done := before(t.findings, i)
	n := t.states.list[0]
	if r.Unit != "good" {
		if n, err = t.states.with(t.state(done)); err != nil {
			return err
		}
	}
	if err := t.takeIn(n, at, float64(r.Ohms), u, r.Unit); err != nil {
		return err
	}
	t.Locator.in = append(t.Locator.in, n)
	last := &t.Readings[len(t.Readings)-1]
	last.Setup, last.Differenced = t.setup(at), r.Differenced != nil && *r.Differenced
	last.Doubtful = r.Doubtful != nil && *r.Doubtful
	last.Null = nullsBefore(t.c.Nulls, i)
	for _, touch := range r.Touches {
		last.Touches = append(last.Touches, math.Min(float64(touch), OpenReading))
	}
	if j, twice := typedTwice(t.c, t.findings, i); twice {
		last.Skip = true
		t.doubt(r.Line, "reading %d is reading %d again, to the last digit: it counts once; a second touch "+
			"belongs in one reading's touches = [ … ]", i+1, j+1)
	}
	if part := onRemoved(r, done); part != "" {
		t.doubt(r.Line, "reading %d names a pin of %s, which had been removed: it is taken as read on the bare pad",
			i+1, part)
	}
	return t.nowhere(i, last)
}

// nullsBefore counts how often the leads were nulled between readings up to
// reading i; a null before the first reading makes no difference.
func nullsBefore(nulls []record.Null, i int) int {
	n := 0
	for _, v := range nulls {
		if v.After > 0 && v.After <= i {
			n++
		}
	}
	return n
}

// setup numbers four-wire set-ups: a new one wherever a current clip moved.
func (t *evidenceReader) setup(at Contacts) int {
	for k := len(t.Taken) - 2; k >= 0; k-- {
		if q := t.Taken[k]; q.FourWire && at.FourWire {
			if q.In.At == at.In.At && q.Out.At == at.Out.At {
				return t.Readings[k].Setup
			}
			return t.Readings[k].Setup + 1
		}
	}
	return 0
}

// nowhere tells of a reading whose contacts an opened part has cut off from
// every listed place.
func (t *evidenceReader) nowhere(i int, r *locate.Reading) error {
	for s := range t.Sites {
		if r.Predict(s) < locate.Unreached {
			return nil
		}
	}
	r.Skip = true
	t.doubt(t.c.Readings[i].Line,
		"reading %d is left out: what was opened before it cuts its places off from every listed one", i+1)
	return nil
}

// unreachable tells of a net that no tip reaches.
func (t *evidenceReader) unreachable() {
	for g, probes := range t.Probes {
		if len(probes) == 0 {
			t.doubt(0, "no place of %s can be touched from outside, so no reading is advised: solder a tail to one "+
				"of its pins, or scrape the mask off a via", t.Names[g])
		}
	}
}

// settle leaves the pair in the network as it now is, for planning, with
// what lies under parts that were taken off within reach.
func (t *evidenceReader) settle() error {
	n, err := t.states.with(t.state(t.findings))
	if err != nil {
		return err
	}
	off := takenOff(t.findings)
	if n.Solver == t.Solver && slices.Equal(off, t.off) {
		return nil
	}
	t.Solver = n.Solver
	for _, k := range n.plans {
		if slices.Equal(k.off, off) {
			t.off, t.Probes, t.Tables = k.off, k.probes, k.tables
			return nil
		}
	}
	if !slices.Equal(off, t.off) {
		t.reach(off)
	}
	if err := t.tabulate(t.states.ctx); err != nil {
		return err
	}
	n.plans = append(n.plans, planning{off, t.Probes, t.Tables})
	return nil
}
