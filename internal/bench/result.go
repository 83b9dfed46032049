package bench

import (
	"ohmward/internal/locate"
)

// answer weighs the suspects and says what to do next.
func (w *work) answer() (*LocateAnswer, *locate.Posterior, error) {
	post, err := w.posterior()
	if err != nil {
		return nil, nil, err
	}
	a := &LocateAnswer{
		Header: NewHeader(), Nets: w.names[:], Readings: len(w.readings),
		Sites: w.places(post), Elsewhere: post.Elsewhere, Best: w.bestAnswer(w.best(post)), Fit: fitAnswer(post.Fit, len(w.readings)),
		Repair: w.repairs(post),
	}
	if err := w.plan(post, a); err != nil {
		return nil, nil, err
	}
	return a, post, nil
}

// fitAnswer writes the fit; what a finding measured is no reading of the
// case's, so it is never the worst one.
func fitAnswer(f locate.Fit, readings int) Fit {
	out := Fit{Verdict: f.Verdict, Chi2: f.Chi2, DoF: f.DoF, P: f.P, Note: f.Why}
	if f.Worst >= 0 && f.Worst < readings && f.Verdict != OneShort {
		worst := f.Worst
		out.WorstReading = &worst
	}
	return out
}

// doubtful gives the error that goes with an answer not to be trusted.
func (w *work) doubtful(a *LocateAnswer, other error) error {
	if a.Fit.Verdict == Disagree || a.Fit.Verdict == MoreThanOne || a.Fit.Verdict == Intermittent {
		return &Error{Kind: Doubtful, What: a.Fit.Verdict + ": " + a.Fit.Note}
	}
	return other
}
