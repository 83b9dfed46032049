package cli

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"runtime"
	"strconv"
	"strings"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
)

// costed is an answer that can say what it took.
type costed interface{ Spent() *answer.Cost }

// work runs do with progress shown, and notes the cost in its answer.
func work[A costed](k *call, do func(bench.Options) (A, error)) (A, error) {
	if k.Memory != "" {
		limit, err := bytesOf(k.Memory)
		if err != nil {
			var none A
			return none, err
		}
		k.set.Memory = limit
	}
	p := newProgress(k.Env)
	k.set.Progress = p.Stage
	if k.Keep {
		k.set.Cache = bench.UserCache()
	}
	out, err := do(k.set.Options)
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
	if !k.set.timing {
		*cost = answer.Cost{}
	}
	return out, err
}

// bytesOf reads an amount of memory: "500MB", "2 GB".
func bytesOf(s string) (int64, error) {
	number, scale := s, int64(0)
	for unit, size := range map[string]int64{"MB": 1e6, "GB": 1e9} {
		if rest, ok := strings.CutSuffix(strings.ToUpper(strings.TrimSpace(s)), unit); ok {
			number, scale = strings.TrimSpace(rest), size
		}
	}
	v, err := strconv.ParseFloat(number, 64)
	if err != nil || scale == 0 || !(v > 0 && v <= 1e6) {
		return 0, misuse("as OHMWARD_MEMORY=2GB", "OHMWARD_MEMORY: %q is no amount of memory in MB or GB", s)
	}
	return max(1, int64(v*float64(scale))), nil
}

// usable tells whether an answer comes with the error.
func usable(err error) bool {
	var e *answer.Error
	return err == nil || errors.As(err, &e) && e.Kind == answer.Doubtful
}

// print writes the answer as JSON or as text. The whole is made before the
// first byte goes out, so that nothing is half-written.
func (k *call) print(answer any, words func(*page)) error {
	var out bytes.Buffer
	if k.set.json {
		e := json.NewEncoder(&out)
		e.SetEscapeHTML(false)
		e.SetIndent("", " ")
		if err := e.Encode(answer); err != nil {
			return fmt.Errorf("the answer cannot be written as JSON: %w", err)
		}
	} else {
		words(&page{out: &out, colour: k.Colour})
	}
	_, err := k.Out.Write(out.Bytes())
	return err
}

// peakMB gives the most memory the process held, in MB: the system's figure
// where it tells, else what the Go run-time took from the system.
func peakMB() float64 {
	if status, err := os.ReadFile("/proc/self/status"); err == nil {
		for _, line := range strings.Split(string(status), "\n") {
			if kb, found := strings.CutPrefix(line, "VmHWM:"); found {
				n, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(kb), "kB")), 64)
				if err == nil {
					return n / 1024
				}
			}
		}
	}
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return float64(m.Sys) / (1 << 20)
}

// readJSON reads a small JSON file that a flag names.
func readJSON(flag, path string, into any) error {
	const most = 64 << 20
	info, err := os.Stat(path)
	if err != nil {
		return fmt.Errorf("--%s: %w", flag, plain(err))
	}
	if info.IsDir() || info.Size() > most {
		return fmt.Errorf("--%s: %s is not a JSON file of at most 64 MB", flag, path)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return fmt.Errorf("--%s: %w", flag, plain(err))
	}
	if err := json.Unmarshal(data, into); err != nil {
		return fmt.Errorf("--%s: %s:%s", flag, path, jsonFault(data, err))
	}
	return nil
}

// jsonFault says in plain words what is wrong with a JSON text, after the line
// where.
func jsonFault(data []byte, err error) string {
	var wrong *json.UnmarshalTypeError
	var broken *json.SyntaxError
	switch {
	case errors.As(err, &wrong):
		return fmt.Sprintf("%d: a JSON %s stands where it does not belong: --help shows the form", lineAt(data, wrong.Offset), wrong.Value)
	case errors.As(err, &broken):
		return fmt.Sprintf("%d: %s", lineAt(data, broken.Offset), broken)
	}
	return " " + strings.TrimPrefix(err.Error(), "json: ")
}

// lineAt gives the line, from 1, of an offset into a text.
func lineAt(data []byte, offset int64) int {
	return 1 + bytes.Count(data[:min(max(offset, 0), int64(len(data)))], []byte("\n"))
}

// plain drops the system call's name from a file error.
func plain(err error) error {
	var e *os.PathError
	if errors.As(err, &e) {
		return fmt.Errorf("%s: %w", e.Path, e.Err)
	}
	return err
}
