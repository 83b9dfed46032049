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
	out, _ := cache.Value(s.Cache, func() cache.Key {
		ask.Board, ask.Nets = nil, nil // which the copper's key stands for
		return keyOf(kind, s.copperKey(), apart, ask)
	}, func() (listing, error) { return list(), nil })
	return out
}

// keyOf makes a key of one kind of result.
func keyOf(kind string, all ...any) cache.Key {
	k := cache.NewKey(kind)
	for _, v := range all {
		k.Any(v)
	}
	return k.Key()
}

// keyOfCopper stands for all that a board and its nets are.
func (p *Board) keyOfCopper() cache.Key {
	return keyOf("copper", p.Layout, p.Nets.Layers, p.Nets.Nets, p.Nets.Tip)
}
