package session

import (
	"os"
	"path/filepath"

	"ohmward/internal/answer"
)

// OpenFile opens a case by its file, wherever it lies: nothing but the case is
// written there, and what stands beside every case file. End it by end, which waits
// until a meter on a wire was put back as it was.
func OpenFile(name string, o FolderOptions) (j *Session, end func(), err error) {
	name, err = filepath.Abs(name)
	if err != nil {
		return nil, nil, answer.AsError(err)
	}
	root, err := os.OpenRoot(filepath.Dir(name))
	if err != nil {
		return nil, nil, answer.AsError(err)
	}
	s := newFolder(filepath.Dir(name), root, o)
	s.one = name
	if j, err = s.Open("case"); err != nil {
		s.Close()
		return nil, nil, err
	}
	return j, s.Close, nil
}
