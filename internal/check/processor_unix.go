//go:build unix

package check

import (
	"syscall"
	"time"
)

// ProcessorTime is what the process has used of all cores together, 0 where the
// system does not tell.
func ProcessorTime() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
