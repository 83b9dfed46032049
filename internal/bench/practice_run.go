package bench

import (
	"context"
	"slices"

	"ohmward/internal/answer"
)

// PracticeRun searches units units by itself, from number o.Seed on, one after the
// other; each tells about one that is done, nil: nobody.
func PracticeRun(ctx context.Context, o PracticeOptions, units int, each func(answer.PracticeUnit)) (*answer.PracticeRun, error) {
	o.Auto, o.Talk = true, nil
	run := &answer.PracticeRun{Header: answer.NewHeader(), Units: []answer.PracticeUnit{}}
	var errors, readings []float64
	for range units {
		a, d, err := searched(ctx, o)
		if err != nil {
			return nil, err
		}
		u := answer.PracticeUnit{Seed: o.Seed, Nets: d.Names[:], Kind: a.Truth.Kind, Readings: a.Readings,
			Seconds: a.Seconds, InsideRadius: a.InsideRadius, Verdict: a.Verdict}
		if a.Best != nil {
			u.ErrorMM = &a.ErrorMM
			errors = append(errors, a.ErrorMM)
		}
		if a.InsideRadius {
			run.Inside++
		}
		readings = append(readings, float64(a.Readings))
		run.Units, run.Seconds = append(run.Units, u), run.Seconds+a.Seconds
		if each != nil {
			each(u)
		}
		o.Seed++
	}
	run.MedianErrorMM, run.MedianReadings = median(errors), median(readings)
	return run, nil
}

// median is the median of a list, 0 of an empty one.
func median(list []float64) float64 {
	if len(list) == 0 {
		return 0
	}
	slices.Sort(list)
	n := len(list)
	return (list[(n-1)/2] + list[n/2]) / 2
}
