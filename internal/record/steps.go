package record

import (
	"math"
	"slices"
	"time"

	"ohmward/unit"
)

// Null is one nulling of the leads.
type Null struct {
	After int              // how many readings came before it
	Ohms  *unit.Resistance // what the leads read; nil where the meter nulls by itself
	At    time.Time        // zero where not given
}

// Steps is how far a bench has led a case, beside its readings and findings.
// A case that has them may still lack its nets.
type Steps struct {
	Unit     string    // what the unit is called
	Revision int       // counts what was confirmed
	Practice *int      // which invented unit, where there is no real one
	Settled  []string  // doubts about the board's files that were looked at and are so
	Roles    []string  // what files are, as "plane.art=copper L2"
	Copy     string    // which copy of a panel: "2" or "all"; "": not said
	BlackNet string    // the net of the two that is the more negative; "": as the names tell
	Turns    int       // quarter turns of the board's picture, 0 to 3
	Hot      time.Time // when heat was last on the board, UTC; zero: not told
	Asked    []string  // parts whose metal was asked about
	Cautions bool      // read and confirmed
	// Swap is the swap-and-range test: as first read, with tips swapped, and
	// on another range.
	Swap    []unit.Resistance
	Skipped bool      // the test was skipped
	Checked int       // how many readings there were when the null was last found good
	Drifted bool      // it was found to have drifted: null again
	Turn    string    // "mend" to repair now, "read" to read on although readings are enough, else ""
	Doing   *Doing    // the move under way
	Seeing  Seeing    // what is asked of a look under way
	Proof   Proof     // that the repair worked
	Cause   string    // one of Causes, or ""
	Checks  []string  // what was done before the unit went back
	LeftOff []string  // parts that were taken off or lifted and stay so
	MeterAt string    // address of the instrument on a wire that reads; "": values are typed
	Begun   time.Time // UTC; zero: not told
	Closed  time.Time // UTC; zero: still open
}

// Doing is a repair under way: what a finding will say, but its outcome.
type Doing struct{ Done, Part, Place string }

// Seeing is how far a look has been told of.
type Seeing struct {
	Asks        string // one of SeeingAsks, or "": nothing
	Part, Place string // where what bridges was seen, once that is said
}

// SeeingAsks are the questions of a look, in their order: what is there, where, and
// what it is.
var SeeingAsks = []string{"look", "where", "what"}

// Proof is what stands between a short seen open and a short cleared.
type Proof struct {
	Cool   bool             // the board was let cool
	Leads  *unit.Resistance // both leads on one net
	Across *unit.Resistance // across the two nets again
}

// Causes grade how well the cause is known.
var Causes = []string{"seen", "inferred", "unknown"}

// mostSwaps is the three values of a swap-and-range test.
const mostSwaps = 3

func (d *decoder) null(c *Case, n *node) {
	var v Null
	var after *float64
	d.table("[[null]]", n, map[string]setter{
		"after_reading": number(d, &after, 0, maxReadings, 1),
		"ohms":          number(d, &v.Ohms, -1e3, 1e3, 1),
		"at":            d.moment(&v.At),
	})
	switch {
	case after == nil:
		d.fail(n.line, "[[null]] needs after_reading: how many readings came before it")
	case *after != math.Trunc(*after):
		d.fail(n.line, "after_reading = %g is no whole number", *after)
	default:
		v.After = int(*after)
	}
	c.Nulls = append(c.Nulls, v)
}

func (d *decoder) steps(c *Case, n *node) {
	s := &Steps{}
	c.Steps = s
	var revision, practice, checked, turns, unused *float64
	var cautions, skipped, cool, drifted *bool
	var doing Doing
	d.table("[bench]", n, map[string]setter{
		"unit":          d.text(&s.Unit),
		"revision":      number(d, &revision, 0, 1e9, 1),
		"practice_unit": number(d, &practice, 0, 1e9, 1),
		"settled":       d.texts(&s.Settled),
		"roles":         d.texts(&s.Roles),
		"copy":          d.text(&s.Copy),
		"touched_again": number(d, &unused, 0, maxReadings, 1), // of earlier versions
		"black_net":     d.text(&s.BlackNet),
		"quarter_turns": number(d, &turns, 0, 3, 1),
		"metal_asked":   d.texts(&s.Asked),
		"cautions":      d.truth(&cautions),
		"swap_ohms":     d.touches(&s.Swap),
		"swap_skipped":  d.truth(&skipped),
		"checked_after": number(d, &checked, 0, maxReadings, 1),
		"drifted":       d.truth(&drifted),
		"turn":          d.oneOf(&s.Turn, "mend", "read"),
		"doing":         d.oneOf(&doing.Done, Actions...),
		"doing_part":    d.text(&doing.Part),
		"doing_place":   d.text(&doing.Place),
		"hot_at":        d.moment(&s.Hot),
		"seeing":        d.oneOf(&s.Seeing.Asks, SeeingAsks...),
		"seen_part":     d.text(&s.Seeing.Part),
		"seen_place":    d.text(&s.Seeing.Place),
		"cool":          d.truth(&cool),
		"leads_ohms":    d.ohms(&s.Proof.Leads),
		"across_ohms":   d.ohms(&s.Proof.Across),
		"cause":         d.oneOf(&s.Cause, Causes...),
		"checks":        d.texts(&s.Checks),
		"left_off":      d.texts(&s.LeftOff),
		"meter_address": d.text(&s.MeterAt),
		"begun":         d.moment(&s.Begun),
		"closed":        d.moment(&s.Closed),
	})
	yes := func(b *bool) bool { return b != nil && *b }
	s.Cautions, s.Skipped, s.Proof.Cool = yes(cautions), yes(skipped), yes(cool)
	s.Drifted = yes(drifted)
	if turns != nil {
		s.Turns = int(*turns)
	}
	if checked != nil {
		s.Checked = int(*checked)
	}
	if revision != nil {
		s.Revision = int(*revision)
	}
	if practice != nil {
		seed := int(*practice)
		s.Practice = &seed
	}
	if doing.Done != "" {
		s.Doing = &doing
	}
	if s.Seeing.Asks != "" && s.Doing == nil {
		d.fail(n.line, "seeing goes with doing: the look under way")
	}
	if len(s.Swap) > mostSwaps {
		d.fail(n.line, "swap_ohms has %d values: as read, swapped, and on another range", len(s.Swap))
	}
}

// moment takes a time as RFC 3339 writes it.
func (d *decoder) moment(into *time.Time) setter {
	return func(key string, n *node) {
		text, isText := n.value.(string)
		if at, isTime := n.value.(time.Time); isTime {
			*into = at.UTC()
			return
		}
		at, err := time.Parse(time.RFC3339, text)
		if !isText || err != nil {
			d.fail(n.line, "%s is not a time as \"2026-03-02T14:05:00Z\"", key)
			return
		}
		*into = at.UTC()
	}
}

// texts takes a list of texts.
func (d *decoder) texts(into *[]string) setter {
	return func(key string, n *node) {
		list, isList := n.value.([]*node)
		if !isList || len(list) > maxOthers {
			d.fail(n.line, "%s is not a list of texts", key)
			return
		}
		for _, e := range list {
			s, isText := e.value.(string)
			if !isText {
				d.fail(e.line, "%s holds something that is no text", key)
				return
			}
			*into = append(*into, s)
		}
	}
}

func nullPairs(v Null) (p pairs) {
	after := unit.Resistance(v.After)
	put(&p, "after_reading", &after, 1)
	put(&p, "ohms", v.Ohms, 1)
	p.moment("at", v.At)
	return p
}

func stepPairs(s *Steps) (p pairs) {
	revision := unit.Resistance(s.Revision)
	put(&p, "revision", &revision, 1)
	p.text("unit", s.Unit)
	if s.Practice != nil {
		seed := unit.Resistance(*s.Practice)
		put(&p, "practice_unit", &seed, 1)
	}
	p.list("settled", s.Settled)
	p.list("roles", s.Roles)
	p.text("copy", s.Copy)
	p.text("black_net", s.BlackNet)
	if s.Turns > 0 {
		turns := unit.Resistance(s.Turns)
		put(&p, "quarter_turns", &turns, 1)
	}
	p.list("metal_asked", s.Asked)
	p.yes("cautions", s.Cautions)
	if len(s.Swap) > 0 {
		p = append(p, pair{"swap_ohms", readingList(s.Swap)})
	}
	p.yes("swap_skipped", s.Skipped)
	if s.Checked > 0 {
		checked := unit.Resistance(s.Checked)
		put(&p, "checked_after", &checked, 1)
	}
	p.yes("drifted", s.Drifted)
	p.text("turn", s.Turn)
	if s.Doing != nil {
		p.text("doing", s.Doing.Done)
		p.text("doing_part", s.Doing.Part)
		p.text("doing_place", s.Doing.Place)
	}
	p.moment("hot_at", s.Hot)
	p.text("seeing", s.Seeing.Asks)
	p.text("seen_part", s.Seeing.Part)
	p.text("seen_place", s.Seeing.Place)
	p.yes("cool", s.Proof.Cool)
	p.ohms("leads_ohms", s.Proof.Leads)
	p.ohms("across_ohms", s.Proof.Across)
	p.text("cause", s.Cause)
	p.list("checks", s.Checks)
	p.list("left_off", s.LeftOff)
	p.text("meter_address", s.MeterAt)
	p.moment("begun", s.Begun)
	p.moment("closed", s.Closed)
	return p
}

func (p *pairs) yes(key string, b bool) {
	if b {
		*p = append(*p, pair{key, true})
	}
}

func (p *pairs) list(key string, texts []string) {
	if len(texts) > 0 {
		*p = append(*p, pair{key, slices.Clone(texts)})
	}
}

func (p *pairs) moment(key string, at time.Time) {
	if !at.IsZero() {
		*p = append(*p, pair{key, at.UTC().Format(time.RFC3339)})
	}
}

// ohms writes a value, an overload by its word.
func (p *pairs) ohms(key string, r *unit.Resistance) {
	switch {
	case r == nil:
	case r.IsOpen():
		p.text(key, "OL")
	default:
		put(p, key, r, 1)
	}
}

// readingList writes values as a list, overloads as a number beyond any meter's.
func readingList(values []unit.Resistance) []float64 {
	out := make([]float64, len(values))
	for i, v := range values {
		out[i] = tidy(min(float64(v), 1e12))
	}
	return out
}
