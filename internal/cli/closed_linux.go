package cli

import (
	"os"

	"golang.org/x/sys/unix"
)

// closedBefore tells whether a standard stream was closed when the program began.
// Go puts the null device there before anything else runs, open for both reading
// and writing, and nothing tells that apart from another program that opened it so;
// a shell that throws an answer away opens it for writing alone.
func closedBefore(f *os.File) bool {
	flags, err := unix.FcntlInt(f.Fd(), unix.F_GETFL, 0)
	if err != nil {
		return true
	}
	if flags&unix.O_ACCMODE != unix.O_RDWR {
		return false
	}
	null, err := os.Stat(os.DevNull)
	if err != nil {
		return false
	}
	info, err := f.Stat()
	return err == nil && os.SameFile(info, null)
}
