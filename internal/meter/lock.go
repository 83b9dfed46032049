package meter

import (
	"crypto/sha256"
	"fmt"
	"os"
	"path/filepath"

	"github.com/gofrs/flock"
)

// lockFolder is where the locks of this user's instruments lie.
func lockFolder() (string, error) {
	dir, err := os.UserCacheDir()
	if err != nil {
		dir = os.TempDir()
	}
	dir = filepath.Join(dir, "ohmward", "instruments")
	return dir, os.MkdirAll(dir, 0o700)
}

// takeLock takes the instrument's lock, so that two programs of one user do not
// speak with it at once. The system drops it when the program ends, however it
// ends.
func takeLock(dir string, a Address) (release func(), err error) {
	if dir == "" {
		if dir, err = lockFolder(); err != nil {
			return nil, fault(Busy, err, "", "no lock can be kept for %v: %v", a, err)
		}
	}
	name := fmt.Sprintf("%x.lock", sha256.Sum256([]byte(a.String())))
	l := flock.New(filepath.Join(dir, name[:20]+".lock"))
	took, err := l.TryLock()
	switch {
	case err != nil:
		return nil, fault(Busy, err, "", "no lock can be kept for %v: %v", a, err)
	case !took:
		return nil, fault(Busy, nil, "close the other one, or its page, first",
			"%v is in use by another ohmward on this machine", a)
	}
	return func() { _ = l.Unlock() }, nil // the file stays, for the next
}
