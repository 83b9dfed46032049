package session

import (
	"bytes"
	"context"
	"fmt"
	"strings"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/internal/copper"
	"ohmward/internal/engine"
	"ohmward/internal/locate"
	"ohmward/internal/picture"
	"ohmward/internal/trial"
	"ohmward/unit"
)

// Between says what should read between two places, and what current they
// bear. Places on two nets that may touch are taken by way of the likeliest
// place where they do.
func (j *Session) Between(ctx context.Context, from, to string) (*answer.Reply, error) {
	d, ask, err := j.currentOptions(from, to)
	if err != nil {
		return nil, err
	}
	_, a, err := bench.SolveCurrent(ctx, d.Board, ask)
	if err != nil {
		return nil, answer.AsError(err)
	}
	return currentReply(a, ask.Short != "", j.meter()), nil
}

// BetweenPicture draws where a current between two places flows: a PNG.
func (j *Session) BetweenPicture(ctx context.Context, from, to string) ([]byte, error) {
	d, ask, err := j.currentOptions(from, to)
	if err != nil {
		return nil, err
	}
	legs, a, err := bench.SolveCurrent(ctx, d.Board, ask)
	if err != nil {
		return nil, answer.AsError(err)
	}
	var out bytes.Buffer
	if err := picture.FlowPNG(&out, bench.FlowScene(d.Board, ask, legs, a)); err != nil {
		return nil, answer.AsError(err)
	}
	return out.Bytes(), nil
}

// currentOptions is the question what flows between two places.
func (j *Session) currentOptions(from, to string) (*LoadedBoard, bench.CurrentOptions, error) {
	j.mu.Lock()
	d, w, post := j.board, j.work, j.post
	j.mu.Unlock()
	ask := bench.CurrentOptions{From: from, To: to, Amps: exampleAmps, ShortOhms: exampleShort}
	if d == nil {
		return nil, ask, &answer.Error{Kind: answer.Busy, What: "the board is still being read"}
	}
	one, err := d.Resolve(from)
	if err != nil {
		return nil, ask, answer.AsError(err)
	}
	two, err := d.Resolve(to)
	if err != nil {
		return nil, ask, answer.AsError(err)
	}
	if one.Net == two.Net {
		return d, ask, nil
	}
	if w != nil {
		ask.Short = likeliestShort(w, post, one.Net, two.Net)
	}
	if ask.Short == "" {
		return nil, ask, &answer.Error{Kind: answer.Bad,
			What: fmt.Sprintf("%s is on net %s and %s on net %s, and no listed place lets the two touch", from,
				d.Nets.Nets[one.Net].Name, to, d.Nets.Nets[two.Net].Name),
			Hint: "give two places on one net, or one on each of the two nets of this case"}
	}
	return d, ask, nil
}

// likeliestShort gives the likeliest place where copper of just these nets, and of
// none that a part ties to them, could touch, as CurrentOptions.Short; "" where
// there is none.
func likeliestShort(w *engine.Locator, post *locate.Posterior, one, two int) string {
	for _, p := range post.Places {
		site := w.Sites[p.Site]
		ends := [2]string{copper.Place{Layer: site.LayerA, At: site.A}.String(),
			copper.Place{Layer: site.LayerB, At: site.B}.String()}
		a, err := w.Resolve(ends[0])
		b, errB := w.Resolve(ends[1])
		if err == nil && errB == nil && (a.Net == one && b.Net == two || a.Net == two && b.Net == one) {
			return ends[0] + "/" + ends[1]
		}
	}
	return ""
}

// The current and the short that examples are worked out with.
const (
	exampleAmps  = 100e-3
	exampleShort = 2e-3
)

func currentReply(a *answer.Current, short bool, m locate.Meter) *answer.Reply {
	b := &answer.Reply{Words: []string{}}
	fact := func(name, format string, args ...any) {
		b.Facts = append(b.Facts, answer.Fact{Name: name, Value: fmt.Sprintf(format, args...)})
	}
	fact("It should read", "%s", m.Text(a.Ohms, false))
	fact("by computation between", "%s and %s", m.Text(a.Low, false), m.Text(a.High, false))
	if short {
		b.Words = append(b.Words, "By way of the likeliest place of the short, which adds its own resistance.")
	}
	for _, s := range a.Shares {
		if s.Fraction >= leastShare {
			where := "in " + s.Where
			if s.Where != "holes" {
				where = "on " + s.Where
			}
			fact(fmt.Sprintf("of that %s, %s", where, s.Net), "%.0f %%", 100*s.Fraction)
		}
	}
	h := a.Hottest
	fact("Most current, for 2 K of rise", "%v", unit.Current(a.Safe.MostAmps))
	fact("Its weakest place", "a %s %s wide on %s at %.1f, %.1f mm", h.Kind, widthWords(h.Width), h.Layer, h.X, h.Y)
	steps := make([]string, len(a.Safe.Steps))
	for i, s := range a.Safe.Steps {
		steps[i] = unit.Current(s).String()
	}
	b.Words = append(b.Words,
		fmt.Sprintf("Inject in steps: %s; voltage limit %v, %v where a Schottky diode stands across.",
			strings.Join(steps, ", "), unit.Voltage(a.Safe.LimitVolts), unit.Voltage(a.Safe.SchottkyVolt)), a.Caution)
	return b
}

// leastShare is the share of a resistance below which a layer is not named.
const leastShare = 0.02

// Trial hides shorts between the case's nets and lets the program find each,
// as ohmward trial does.
func (j *Session) Trial(ctx context.Context, faults int) (*answer.Reply, error) {
	j.mu.Lock()
	d, c, step := j.board, j.c, j.step()
	j.mu.Unlock()
	switch {
	case d == nil:
		return nil, &answer.Error{Kind: answer.Busy, What: "the board is still being read"}
	case step == stepNets:
		return nil, &answer.Error{Kind: answer.Misuse, What: "choose the two nets first"}
	case !j.trying.TryLock():
		return nil, &answer.Error{Kind: answer.Busy, What: "such a trial is under way already",
			Hint: "wait for it, in the window where it was begun"}
	}
	defer j.trying.Unlock()
	o := trial.Options{Nets: c.Nets[:], Faults: faults, Seed: 1, Meter: c.Meter.Profile}
	if err := o.Check(); err != nil {
		return nil, err
	}
	a, err := bench.TrialOn(ctx, d.Board, o)
	if a == nil {
		return nil, err
	}
	return trialReply(a), nil
}

func trialReply(a *answer.Trial) *answer.Reply {
	t := &answer.Reply{Words: []string{fmt.Sprintf("%d shorts invented between %s and %s, each searched for "+
		"by the program alone, with the meter %s.", a.Faults, a.Nets[0], a.Nets[1], a.Meter)}}
	fact := func(name, format string, args ...any) {
		t.Facts = append(t.Facts, answer.Fact{Name: name, Value: fmt.Sprintf(format, args...)})
	}
	fact("True place named first", "%.0f %%", 100*a.Rank1)
	fact("Readings, half and nine in ten", "%.0f and %.0f", a.Readings.Median, a.Readings.P90)
	fact("Off by, half and nine in ten", "%s", mmPair(a.Error.Median, a.Error.P90))
	fact("By the lowest of as many readings", "%s", mmPair(a.Lowest.Error.Median, a.Lowest.Error.P90))
	fact("Inside the stated radius", "%d of %d, %.0f claimed", a.Coverage.Hits, a.Faults, a.Coverage.Claimed)
	if a.Reach != nil {
		t.Words = append(t.Words, upper(a.Reach.Note)+".")
	}
	return t
}
