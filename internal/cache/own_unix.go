//go:build unix

package cache

import (
	"fmt"
	"os"
	"syscall"
)

// own tells why a folder is not the user's alone; one that is missing will be. The
// user's first group may write to it: it is the user's own on most systems, which
// make new folders so.
func own(dir string) error {
	info, err := os.Stat(dir)
	if err != nil {
		return nil
	}
	owner, known := info.Sys().(*syscall.Stat_t)
	switch {
	case known && int(owner.Uid) != os.Geteuid():
		return fmt.Errorf("the cache folder %s belongs to another user: it is not used", dir)
	case info.Mode().Perm()&0o002 != 0, info.Mode().Perm()&0o020 != 0 && known && int(owner.Gid) != os.Getegid():
		return fmt.Errorf("others may write to the cache folder %s: it is not used; chmod go-w makes it yours", dir)
	}
	return nil
}
