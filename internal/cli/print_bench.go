package cli

import (
	"ohmward/internal/bench"
)

func benchText(p *page, a *bench.PageAnswer) {
	p.Line("The bench is at %s", a.URL)
	p.Line("Cases are kept in %s", a.Cases)
	if a.FarURL != "" {
		p.Line("Another machine finds it at %s and types the code %s", a.FarURL, a.Code)
	}
}
