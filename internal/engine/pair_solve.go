package engine

import (
	"context"
	"fmt"
	"slices"

	"ohmward/internal/cache"
	"ohmward/internal/conduct"
	"ohmward/internal/locate"
	"ohmward/internal/suspect"
)

// solve prepares the sites and the tables: from the cache where it has them,
// else by meshing and factoring both groups.
func (s *Pair) solve(ctx context.Context, q PairOptions) error {
	j := &preparation{s: s, ctx: ctx}
	for g := range j.groups {
		j.options[g] = s.meshing(g, q)
	}
	discs, sites := s.placesToTouch(), s.siteDiscs()
	for g := range j.groups {
		used := slices.Concat(j.options[g].Discs, discs[g], sites[g])
		for _, c := range q.cuts {
			used = append(used, conduct.Disc{Layer: c.Layer, At: c.At})
		}
		j.groups[g] = s.group(g, s.Material).WithoutIdle(len(s.Layout.Layers), used)
	}
	s.Solver = &solver{build: j.build, cache: s.Cache}
	got, err := cache.Value(s.Cache, func() cache.Key {
		s.Solver.base = keyOf("solved", j.groups, j.options, sites, s.layerSets)
		return s.Solver.key("surveyed", discs)
	}, func() (surveyed, error) { return j.find(discs, sites) })
	if err != nil {
		return err
	}
	if err := s.dropUnreached(got.Reached); err != nil {
		return err
	}
	return s.planOn(got.Tables)
}

// preparation is what the copper of two groups is solved from.
type preparation struct {
	s       *Pair
	ctx     context.Context
	groups  [2]conduct.Group
	options [2]conduct.Options
	models  [2]*conduct.Model // once they are built
}

// find surveys the copper itself. The sites that it does not reach are dropped
// before the bridge is made.
func (j *preparation) find(discs, sites [2][]conduct.Disc) (out surveyed, err error) {
	if err := j.mesh(); err != nil {
		return out, err
	}
	out.Reached = make([]bool, len(sites[0]))
	var left [2][]conduct.Disc
	for i := range out.Reached {
		if out.Reached[i] = j.models[0].Reaches(sites[0][i]) && j.models[1].Reaches(sites[1][i]); out.Reached[i] {
			left[0], left[1] = append(left[0], sites[0][i]), append(left[1], sites[1][i])
		}
	}
	if len(left[0]) == 0 {
		return out, nil // dropUnreached says so
	}
	j.s.Solver.once.Do(func() { j.s.Solver.bridge, j.s.Solver.layers, j.s.Solver.err = j.bridge(left) })
	b, _, err := j.s.Solver.Solved()
	if err != nil {
		return out, err
	}
	j.s.Progress("preparing the places to touch")
	out.Tables, err = tablesOf(j.ctx, b, discs)
	return out, err
}

// mesh builds both groups' models.
func (j *preparation) mesh() (err error) {
	for g := range j.models {
		if j.models[g], err = conduct.Build(j.ctx, j.groups[g], j.options[g]); err != nil {
			return err
		}
	}
	return nil
}

// build solves the copper for the sites that are left: what a solver does that
// found the survey cached, once it is asked for something that is not. By then
// whoever prepared the pair has long ended, and its context with it.
func (j *preparation) build() (*conduct.Bridge, *conduct.LayerSketch, error) {
	j.ctx = context.WithoutCancel(j.ctx)
	if err := j.mesh(); err != nil {
		return nil, nil, err
	}
	return j.bridge(j.s.siteDiscs())
}

// bridge prepares sites that both models reach.
func (j *preparation) bridge(sites [2][]conduct.Disc) (b *conduct.Bridge, l *conduct.LayerSketch, err error) {
	j.s.Progress("preparing the suspects")
	if b, err = conduct.NewBridge(j.ctx, j.models, sites); err != nil {
		return nil, nil, err
	}
	if len(j.s.layerSets) > 0 {
		j.s.Progress("telling the layers apart")
	}
	l, err = b.SketchLayers(j.ctx, j.s.layerSets, j.s.placeDiscs())
	return b, l, err
}

// dropUnreached removes suspects whose contact finds no copper in the meshes:
// outlines a hair away from where they were sampled.
func (s *Pair) dropUnreached(reached []bool) error {
	reachable, listed := []suspect.Site(nil), len(s.Listed())
	var lost float64
	for i, site := range s.Sites {
		switch {
		case reached[i]:
			reachable = append(reachable, site)
			continue
		case i >= listed:
			s.Foreign--
		}
		lost += site.Prior
	}
	s.Sites, s.Elsewhere = reachable, s.Elsewhere+lost
	if len(s.Listed()) == 0 {
		return &Error{What: fmt.Sprintf("no suspect between %s and %s lies on their copper", s.Names[0],
			s.Names[1])}
	}
	s.Index = locate.NewSiteIndex(s.Sites)
	return nil
}
