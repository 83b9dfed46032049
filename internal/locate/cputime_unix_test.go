//go:build unix

package locate

import (
	"syscall"
	"time"
)

func init() {
	processorTime = func() time.Duration {
		var r syscall.Rusage
		if syscall.Getrusage(syscall.RUSAGE_SELF, &r) != nil {
			return 0
		}
		return time.Duration(r.Utime.Nano() + r.Stime.Nano())
	}
}
