package record

import (
	"context"
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"github.com/gofrs/flock"

	"ohmward/internal/atomicfile"
)

// leaseTime is how long a lease lasts: who has it renews it in time.
const leaseTime = 30 * time.Second

// Lease is the right of one bench to work on a case.
type Lease struct {
	Bench   string    `json:"bench"`   // who has it
	Host    string    `json:"host"`    // the machine it runs on
	Process int       `json:"process"` // its number there
	Until   time.Time `json:"until"`   // UTC
}

// ofTheDead tells whether the bench that has a lease is no more: a program that was
// killed on this machine gives nothing back.
func (l Lease) ofTheDead() bool {
	host, err := os.Hostname()
	return err == nil && l.Host == host && l.Process > 0 && !running(l.Process)
}

// HeldError says that another bench works on the case.
type HeldError struct{ Lease Lease }

func (e *HeldError) Error() string { return "another bench works on this case: " + e.Lease.Bench }

// ErrBusy says that another program was writing to the case all the time.
var ErrBusy = errors.New("another program is writing to this case")

// patience is how long a writer waits for another: no write takes as long.
const patience = 20 * time.Second

// locked does something while no other program writes to the case file.
func locked(path string, do func() error) error {
	name := besideName(path, ".lock")
	if info, err := os.Stat(name); err == nil && !info.Mode().IsRegular() {
		return &Error{File: name, What: "is no file: move it away"}
	}
	lock := flock.New(name, flock.SetPermissions(0o644))
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	switch _, err := lock.TryLockContext(ctx, 10*time.Millisecond); {
	case errors.Is(err, context.DeadlineExceeded):
		return ErrBusy
	case err != nil:
		return fileError(path, err)
	}
	err := do()
	return errors.Join(err, lock.Close())
}

// besideName is a hidden file beside a case file.
func besideName(path, ending string) string {
	return filepath.Join(filepath.Dir(path), "."+filepath.Base(path)+ending)
}

// readLease gives the lease of a case as it is written: none where that is
// missing or no lease.
func readLease(path string) (l Lease) {
	name := besideName(path, ".lease")
	if info, err := os.Stat(name); err != nil || !info.Mode().IsRegular() {
		return Lease{}
	}
	data, err := os.ReadFile(name)
	if err != nil || json.Unmarshal(data, &l) != nil {
		return Lease{}
	}
	return l
}

func writeLease(path string, l Lease) error {
	data, err := json.Marshal(l)
	if err != nil {
		return err
	}
	return atomicfile.WriteUnsynced(besideName(path, ".lease"), append(data, '\n'), 0o644)
}

func removeLease(path string) error {
	if err := os.Remove(besideName(path, ".lease")); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}
