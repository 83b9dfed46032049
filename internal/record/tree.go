package record

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
)

// Error is a case file that cannot be taken, with where and why.
type Error struct {
	File string // its path
	Line int    // 0 when the whole file is meant
	What string // in one line, for a person
}

func (e *Error) Error() string {
	if e.Line > 0 {
		return fmt.Sprintf("%s:%d: %s", e.File, e.Line, e.What)
	}
	if e.File == "" { // not saved yet
		return e.What
	}
	return fmt.Sprintf("%s: %s", e.File, e.What)
}

// Where gives the place in the file.
func (e *Error) Where() string {
	if e.Line > 0 {
		return fmt.Sprintf("%s:%d", e.File, e.Line)
	}
	return e.File
}

// node is a value of the file with its line: a map[string]*node, a []*node,
// or a bool, string, int64 or float64.
type node struct {
	line  int
	value any
}

// maxFile and maxDepth bound what a file may ask for.
const (
	maxFile  = 4 << 20
	maxDepth = 8
)

// parse reads the text of a file into a tree, by the file's ending.
func parse(path string, data []byte) (*node, error) {
	if len(bytes.TrimSpace(data)) == 0 {
		return nil, &Error{File: path, What: "is empty: a case names at least a board and two nets"}
	}
	switch strings.ToLower(filepath.Ext(path)) {
	case ".json":
		return parseJSON(path, data)
	case ".toml":
		return parseTOML(path, data)
	}
	return nil, &Error{File: path, What: "ends in neither .toml nor .json: a case file is one of them"}
}

func readSmall(path string) ([]byte, error) {
	info, err := os.Stat(path)
	if err == nil && !info.Mode().IsRegular() && !info.IsDir() { // a pipe would wait for ever
		return nil, &Error{File: path, What: "is no file"}
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, fileError(path, err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, maxFile+1))
	if err != nil {
		return nil, fileError(path, err)
	}
	if len(data) > maxFile {
		return nil, &Error{File: path, What: "is larger than 4 MB: no case file"}
	}
	return data, nil
}

// fileError drops the name of the system call.
func fileError(path string, err error) error {
	var p *os.PathError
	if errors.As(err, &p) {
		return fmt.Errorf("%s: %w", path, p.Err)
	}
	return fmt.Errorf("%s: %w", path, err)
}
