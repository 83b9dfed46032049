package cli

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
)

// call is a command under way: what it stands in, and how it is to answer.
type call struct {
	Env
	answerFlags
	options bench.Options
}

// costed is an answer that can say what it took.
type costed interface{ Spent() *answer.Cost }

// respond runs do with progress shown, and prints its answer.
func respond[A costed](k *call, do func(bench.Options) (A, error), words func(*page, A)) error {
	a, err := work(k, do)
	if !usable(err) {
		return err
	}
	return printed(k, a, err, words)
}

// printed prints an answer that err, where it is not nil, bids to doubt.
func printed[A any](k *call, a A, err error, words func(*page, A)) error {
	if failed := k.print(a, func(p *page) { words(p, a) }); failed != nil {
		return failed
	}
	return err
}

// work runs do with progress shown, and notes the cost in its answer.
func work[A costed](k *call, do func(bench.Options) (A, error)) (out A, err error) {
	if err := k.provide(); err != nil {
		return out, err
	}
	p := newProgress(k.Env)
	k.options.Progress = p.Stage
	out, err = do(k.options)
	times := p.End()
	if !usable(err) {
		return out, err
	}
	cost := out.Spent()
	if cost.Timing == nil {
		cost.Timing = times
	}
	cost.Timing["total"] = times["total"]
	cost.PeakRSSMB = peakMB()
	if !k.timing {
		*cost = answer.Cost{}
	}
	return out, err
}

// provide sets what the surroundings give to the work: memory and a cache.
func (k *call) provide() (err error) {
	if k.Memory != "" {
		var bytes int64
		if bytes, err = bytesOf(k.Memory); err == nil {
			keepNear(bytes)
		}
		k.options.Memory = (bytes + 1) / 2 // for one matrix; the rest is for all else
	}
	if k.Keep {
		cache, untrusted := bench.UserCache()
		if k.options.Cache = cache; untrusted != nil {
			fmt.Fprintf(k.Err, "ohmward: note: %s\n", oneLine(untrusted.Error()))
		}
	}
	return err
}

// usable tells whether an answer comes with the error.
func usable(err error) bool {
	var e *answer.Error
	return err == nil || errors.As(err, &e) && (e.Kind == answer.Doubtful || e.Kind == answer.Unsaved)
}

// print writes the answer as JSON or as text. The whole is made before the
// first byte goes out, so that nothing is half-written.
func (k *call) print(answer any, words func(*page)) error {
	var out bytes.Buffer
	if k.json {
		e := json.NewEncoder(&out)
		e.SetEscapeHTML(false)
		e.SetIndent("", " ")
		if err := e.Encode(answer); err != nil {
			return fmt.Errorf("the answer cannot be written as JSON: %w", err)
		}
	} else {
		words(&page{out: &out, colour: k.Colour, columns: k.Columns})
	}
	_, err := k.Out.Write(out.Bytes())
	return err
}
