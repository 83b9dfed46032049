//go:build unix

package bench

import (
	"syscall"
	"time"
)

func init() {
	processorTime = func() time.Duration {
		var u syscall.Rusage
		if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
			return 0
		}
		return time.Duration(u.Utime.Nano() + u.Stime.Nano())
	}
}
