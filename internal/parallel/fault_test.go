package parallel

import (
	"fmt"
	"strings"
	"sync/atomic"
	"testing"
)

// A job that panics ends the work, and the panic comes to who asked for it, also
// from a job within a job.
func TestFault(t *testing.T) {
	var after atomic.Int32
	err := func() (err error) {
		defer func() { err = fmt.Errorf("%v", recover()) }()
		Each(1000, func(i int) {
			if i == 3 {
				Each(2, func(int) { panic("on purpose") })
			}
			if i > 500 {
				after.Add(1)
			}
		})
		return nil
	}()
	if !strings.Contains(err.Error(), "on purpose") || !strings.Contains(err.Error(), "fault_test.go") {
		t.Errorf("the panic does not say what and where: %.200v", err)
	}
	if after.Load() == 499 {
		t.Error("the others went on to the end")
	}
}
