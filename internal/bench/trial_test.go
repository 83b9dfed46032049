package bench

import (
	"context"
	"encoding/json"
	"runtime"
	"testing"

	"ohmward/internal/answer"
	"ohmward/internal/check"
	"ohmward/internal/engine"
	"ohmward/internal/trial"
)

func smallTrial(t *testing.T, o trial.Options) *answer.Trial {
	t.Helper()
	if o.Nets == nil {
		o.Nets = []string{"+3V3", "NRST"}
	}
	a, err := Trial(context.Background(), engine.DemoName, o)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// The same seed gives the same answer, fault by fault, whatever the cores.
func TestTrialRepeats(t *testing.T) {
	o := trial.Options{Nets: []string{"SENSE_P", "SENSE_N"}, Faults: check.Draws(t, 2, 6, 6), Seed: 3, Each: true}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one := smallTrial(t, o)
	runtime.GOMAXPROCS(2)
	two := smallTrial(t, o)
	one.Cores, two.Cores = 0, 0
	a, _ := json.Marshal(one)
	b, _ := json.Marshal(two)
	if string(a) != string(b) {
		t.Errorf("one core:\n%s\ntwo:\n%s", a, b)
	}
	o.Seed = 4
	each, _ := json.Marshal(one.Each)
	o.Cache = shared
	if c, _ := json.Marshal(smallTrial(t, o).Each); string(c) == string(each) {
		t.Error("another seed gives the same faults")
	}
}

// DESIGN's two tests of calibration, and the figures asked for tracks, on
// the demo's narrow pair.
func TestTrialCalibrated(t *testing.T) {
	check.Claim(t)
	a := smallTrial(t, trial.Options{Options: withStore(), Faults: 60, Seed: 1})
	t.Logf("%+v", *a)
	if !a.Coverage.Fair || !a.Surest.Fair {
		t.Errorf("not calibrated: coverage %+v, above 0.99 %+v", a.Coverage, a.Surest)
	}
	if a.Error.Median > 0.5 || a.Error.P90 > 3 || a.Readings.Median > 5 {
		t.Errorf("error %+v mm by %+v readings; want 0.5 and 3 mm by 5", a.Error, a.Readings)
	}
	if a.Error.Median > a.Lowest.Error.Median/4 {
		t.Errorf("error %g mm, the lowest-reading method's %g", a.Error.Median, a.Lowest.Error.Median)
	}
}

func TestTrialMisuse(t *testing.T) {
	for _, o := range []trial.Options{{Faults: -1}, {Faults: 5001}, {Kind: "three-wire"}, {OffModel: "moon"}, {Meter: "none"}} {
		o.Options, o.Nets = withStore(), []string{"+3V3", "NRST"}
		if _, err := Trial(context.Background(), engine.DemoName, o); err == nil {
			t.Errorf("%+v: no error", o)
		}
	}
}
