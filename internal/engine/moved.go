package engine

import (
	"ohmward/internal/locate"
)

// Moved says why the answer's place changed with the last reading.
func (w *Locator) Moved(post *locate.Posterior) string {
	n := len(w.Readings) - 1
	if n < 1 {
		return ""
	}
	c := post.Case
	c.Readings, c.Findings = w.All()[:n:n], nil
	for _, f := range post.Case.Findings {
		if f.AfterReading <= n {
			c.Findings = append(c.Findings, f)
		}
	}
	// What was weighed last is not weighed again.
	if w.Predictions != nil && w.Predictions.Last != nil && w.Predictions.Given.Equal(c) {
		return post.ExplainChange(w.Predictions.Last)
	}
	earlier, err := locate.Solve(c)
	if err != nil {
		return ""
	}
	return post.ExplainChange(earlier)
}
