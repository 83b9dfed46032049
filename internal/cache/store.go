package cache

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"io"
	"os"
	"path/filepath"
	"strings"
)

// Store is a folder of kept results. It may be used by several goroutines.
type Store struct {
	dir     string
	most    int64                    // bytes that all results together may take
	program func() ([32]byte, error) // stands for the program and the machine's kind
}

// Key is what a result is filed under.
type Key [32]byte

// mark begins every file; its number changes with the layout of the header:
// mark, program, key, SHA-256 of the result, length of the result in eight
// bytes with the lowest first, the result.
const mark = "ohmward kept result 1\n"

const headerSize = len(mark) + 3*32 + 8

// suffix ends the name of a kept result, and beginning begins that of one
// being written.
const (
	suffix    = ".kept"
	beginning = "new-"
)

// In keeps results in a folder, at most so many bytes of them, for the
// program that the text names. The folder is made when first needed.
func In(dir, program string, most int64) *Store {
	sum := sha256.Sum256([]byte(program))
	return &Store{dir: dir, most: most, program: func() ([32]byte, error) { return sum, nil }}
}

// place gives what stands for the program, and the file of a key: other
// programs' results lie beside ours.
func (s *Store) place(k Key) (program [32]byte, path string, err error) {
	if program, err = s.program(); err != nil {
		return program, "", err
	}
	name := sha256.Sum256(append(program[:], k[:]...))
	return program, filepath.Join(s.dir, hex.EncodeToString(name[:20])+suffix), nil
}

// get gives the result under a key, if there is a sound one.
func (s *Store) get(k Key) ([]byte, bool) {
	if s == nil {
		return nil, false
	}
	program, path, err := s.place(k)
	if err != nil {
		return nil, false
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, false
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil || !info.Mode().IsRegular() || info.Size() < int64(headerSize) || info.Size() > s.most {
		return nil, false
	}
	data := make([]byte, info.Size())
	if _, err := io.ReadFull(f, data); err != nil {
		return nil, false
	}
	head, body := data[:headerSize], data[headerSize:]
	if !bytes.Equal(head, header(program, k, body)) {
		return nil, false
	}
	touch(path)
	return body, true
}

// put files a result. It gives up without a word where it cannot.
func (s *Store) put(k Key, body []byte) {
	size := int64(headerSize) + int64(len(body))
	if s == nil || size > s.most/4 {
		return // one result must not push out most of the others
	}
	program, path, err := s.place(k)
	if err != nil || os.MkdirAll(s.dir, 0o700) != nil {
		return
	}
	s.makeRoom(size)
	f, err := os.CreateTemp(s.dir, beginning+"*")
	if err != nil {
		return
	}
	_, err = f.Write(append(header(program, k, body), body...))
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		os.Remove(f.Name())
	}
}

func header(program [32]byte, k Key, body []byte) []byte {
	sum := sha256.Sum256(body)
	head := make([]byte, 0, headerSize)
	head = append(head, mark...)
	head = append(head, program[:]...)
	head = append(head, k[:]...)
	head = append(head, sum[:]...)
	return binary.LittleEndian.AppendUint64(head, uint64(len(body)))
}

// ours tells whether a file in the folder is one that this package writes.
func ours(name string) bool {
	return strings.HasSuffix(name, suffix) || strings.HasPrefix(name, beginning)
}
