package parallel

import (
	"fmt"
	"strings"
	"sync/atomic"
	"testing"
	"time"
)

// A job that panics ends the work, and the panic comes to who asked for it, also
// from a job within a job.
func TestFault(t *testing.T) {
	const jobs = 50_000 // of which the others could not come to the end meanwhile
	var done atomic.Int32
	err := func() (err error) {
		defer func() { err = fmt.Errorf("%v", recover()) }()
		Each(jobs, func(i int) {
			if i == 3 {
				Each(2, func(int) { panic("on purpose") })
			}
			time.Sleep(20 * time.Microsecond)
			done.Add(1)
		})
		return nil
	}()
	if !strings.Contains(err.Error(), "on purpose") || !strings.Contains(err.Error(), "fault_test.go") {
		t.Errorf("the panic does not say what and where: %.200v", err)
	}
	if done.Load() == jobs-1 {
		t.Error("the others went on to the end")
	}
}
