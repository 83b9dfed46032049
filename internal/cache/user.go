package cache

import (
	"crypto/sha256"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"sync"
)

// Variable is the environment variable that says where the cache is: a
// folder, or "off" for nowhere.
const Variable = "OHMWARD_CACHE"

// mostBytes is how much the user's cache may take: some dozens of boards.
const mostBytes = 1 << 30

// User is the user's own store: the folder that OHMWARD_CACHE names, else
// ohmward in the user's cache folder. It is nil, which stores nothing, where
// that says "off" or no such folder is known; and with an error where others
// could have put entries there.
func User() (*Store, error) {
	dir := os.Getenv(Variable)
	switch dir {
	case "off":
		return nil, nil
	case "":
		cache, err := os.UserCacheDir()
		if err != nil {
			return nil, nil
		}
		dir = filepath.Join(cache, "ohmward")
	}
	if err := own(dir); err != nil {
		return nil, err
	}
	return &Store{dir: dir, most: mostBytes, program: sync.OnceValues(programHash)}, nil
}

// programHash is the hash of the running program's own file and of the kind of
// machine: any change of the program makes its results others.
func programHash() (sum [32]byte, err error) {
	path, err := os.Executable()
	if err != nil {
		return sum, err
	}
	if runtime.GOOS == "linux" {
		path = "/proc/self/exe" // stays the running one when it is replaced
	}
	f, err := os.Open(path)
	if err != nil {
		return sum, err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return sum, err
	}
	io.WriteString(h, runtime.GOOS+" "+runtime.GOARCH)
	h.Sum(sum[:0])
	return sum, nil
}
