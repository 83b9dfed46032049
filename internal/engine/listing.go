package engine

import (
	"ohmward/internal/cache"
	"ohmward/internal/suspect"
)

// listing is a list of suspects as it is cached.
type listing struct {
	Sites     []suspect.Site
	Elsewhere float64
}

// listedBy gives the suspects of a question, cached or listed now. They follow
// from the whole board and its nets, and from the suspects that they are to lie
// apart from.
func (s *Pair) listedBy(kind string, ask suspect.Question, apart []suspect.Site,
	list func() listing) listing {
	if s.Cache == nil {
		return list()
	}
	k := cache.NewKey(kind)
	k.Any(s.copperKey())
	k.Any(apart)
	ask.Board, ask.Nets = nil, nil // which the copper's key stands for
	k.Any(ask)
	out, _ := cache.Memo(s.Cache, k.Key(), func(w *cache.Writer, l listing) { w.Gob(l) },
		func(r *cache.Reader) (l listing) { r.Gob(&l); return l },
		func() (listing, error) { return list(), nil })
	return out
}

// keyOfCopper stands for all that a board and its nets are.
func (p *Board) keyOfCopper() cache.Key {
	k := cache.NewKey("copper")
	k.Any(p.Layout)
	k.Any(p.Nets.Layers)
	k.Any(p.Nets.Nets)
	k.Any(p.Nets.Tip)
	return k.Key()
}
