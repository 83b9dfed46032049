// Package atomicfile writes files whole or not at all: a reader finds the old
// file or the new one, never half of one, and a failed write leaves the old
// one as it was and nothing beside it.
package atomicfile

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
)

// Prefix begins the name of the temporary file that is being written, in the
// folder of the file that it becomes.
const Prefix = ".new-"

// Write replaces a file, or makes it with the mode. A file that was there
// keeps its own mode. When Write returns nil the file outlasts a power cut.
func Write(path string, data []byte, mode fs.FileMode) error {
	if err := replace(path, data, mode, true); err != nil {
		return err
	}
	return syncFolder(filepath.Dir(path))
}

// WriteUnsynced is Write without waiting for the disk. After a power cut the
// file may be damaged: it is for what its reader checks and can make again.
func WriteUnsynced(path string, data []byte, mode fs.FileMode) error {
	return replace(path, data, mode, false)
}

func replace(path string, data []byte, mode fs.FileMode, sync bool) (err error) {
	if info, missing := os.Stat(path); missing == nil {
		mode = info.Mode().Perm()
	}
	defer func() { err = about(path, err) }()
	tmp, err := os.CreateTemp(filepath.Dir(path), Prefix+"*")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			os.Remove(tmp.Name())
		}
	}()
	_, err = tmp.Write(data)
	if err == nil && sync {
		err = tmp.Sync()
	}
	if closing := tmp.Close(); err == nil {
		err = closing
	}
	if err == nil {
		err = os.Chmod(tmp.Name(), mode)
	}
	if err == nil {
		err = os.Rename(tmp.Name(), path)
	}
	return err
}

// about makes an error one of the file that was to be written: nobody knows the
// temporary one's name.
func about(path string, err error) error {
	var file *fs.PathError
	var renaming *os.LinkError
	switch {
	case errors.As(err, &file):
		return &fs.PathError{Op: "write", Path: path, Err: file.Err}
	case errors.As(err, &renaming):
		return &fs.PathError{Op: "write", Path: path, Err: renaming.Err}
	}
	return err
}

// syncFolder makes a renaming outlast a power cut, where the system can.
func syncFolder(path string) error {
	dir, err := os.Open(path)
	if err != nil {
		return nil // a folder that may be written but not read
	}
	defer dir.Close()
	if err := dir.Sync(); err != nil && !cannotSync(err) {
		return err
	}
	return nil
}

// cannotSync tells the error of a system or a file system that does not sync
// folders.
func cannotSync(err error) bool {
	return errors.Is(err, fs.ErrPermission) || errors.Is(err, errors.ErrUnsupported) ||
		errors.Is(err, syscall.EINVAL)
}
