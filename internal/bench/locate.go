package bench

import (
	"context"

	"ohmward/internal/answer"
	"ohmward/internal/engine"
	"ohmward/internal/record"
)

// Locate says where the short of a case is, and draws it when picture names
// a file.
func Locate(ctx context.Context, casePath, picture string, o engine.Options) (*answer.Location, error) {
	c, err := record.Read(casePath)
	if err != nil {
		return nil, answer.AsError(err)
	}
	return locateCase(ctx, c, picture, o)
}

func locateCase(ctx context.Context, c *record.Case, picture string, o engine.Options) (*answer.Location, error) {
	if c.Nets[0] == "" {
		return nil, &answer.Error{Kind: answer.Bad, What: c.File + ": its two nets are not chosen yet",
			Hint: "choose them at the bench, or write nets = [\"+3V3\", \"GND\"]"}
	}
	meter, err := engine.MeterOf(c.Meter)
	if err != nil {
		return nil, answer.AsError(engine.CaseError(c, err))
	}
	p, err := open(ctx, c.BoardPath(), o.WithCaseDefaults(c))
	if err != nil {
		return nil, err
	}
	w, err := p.Locator(ctx, c)
	if err != nil {
		return nil, answer.AsError(err)
	}
	w.Meter, w.CopperKnown = meter, w.CopperUncertainty(c.Copper)
	if err := w.TakeAll(c); err != nil {
		return nil, answer.AsError(err)
	}
	w.Progress("weighing the suspects")
	a, post, err := Answer(w)
	if err != nil {
		return nil, answer.AsError(engine.CaseError(c, err))
	}
	explain(w, a, post)
	a.Board, a.Doubts = c.Board, append(Doubts(p), DoubtsOf(w.Notes, w.Doubts)...)
	if len(c.Readings) == 0 {
		a.Cautions, a.Reach = cautions(w.Pair), CanDo(w.Pair, w.Meter, w.CopperKnown)
	}
	if picture != "" {
		w.Progress("drawing")
		if err := draw(w, picture, post, a); err != nil {
			return a, unsaved("the picture", err)
		}
		a.Picture = picture
	}
	return a, doubtful(a, trusted(p))
}
