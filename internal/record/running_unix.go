//go:build unix

package record

import (
	"errors"
	"syscall"
)

// running tells whether there is a process of that number on this machine.
func running(process int) bool { return !errors.Is(syscall.Kill(process, 0), syscall.ESRCH) }
