package cache

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"ohmward/internal/atomicfile"
)

// Store is a folder of entries, one per result. It may be used by several goroutines.
type Store struct {
	dir     string
	most    int64                    // bytes that all entries together may take
	program func() ([32]byte, error) // stands for the program and the machine's kind
}

// Key is what an entry is found by.
type Key [32]byte

// magic begins every file; its number changes with the layout: magic, program,
// key, SHA-256 of the result, its length in eight bytes with the lowest first,
// the result.
const magic = "ohmward cache entry 1\n"

const headerSize = len(magic) + 3*32 + 8

// suffix ends the name of an entry's file.
const suffix = ".entry"

// In is the store in a folder, of at most so many bytes, for the program that
// the text names. The folder is made when first needed.
func In(dir, program string, most int64) *Store {
	sum := sha256.Sum256([]byte(program))
	return &Store{dir: dir, most: most, program: func() ([32]byte, error) { return sum, nil }}
}

// place gives what stands for the program, and the file of a key: other
// programs' entries lie beside ours.
func (s *Store) place(k Key) (program [32]byte, path string, err error) {
	if program, err = s.program(); err != nil {
		return program, "", err
	}
	name := sha256.Sum256(append(program[:], k[:]...))
	return program, filepath.Join(s.dir, hex.EncodeToString(name[:20])+suffix), nil
}

// get gives the result of the entry with a key, if there is a sound one.
func (s *Store) get(k Key) ([]byte, bool) {
	if s == nil {
		return nil, false
	}
	program, path, err := s.place(k)
	if err != nil {
		return nil, false
	}
	if info, err := os.Lstat(path); err != nil || !info.Mode().IsRegular() { // a pipe would hold it up
		return nil, false
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, false
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil || info.Size() < int64(headerSize) || info.Size() > s.most {
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

// put stores a result. It gives up without a word where it cannot.
func (s *Store) put(k Key, body []byte) {
	size := int64(headerSize) + int64(len(body))
	if s == nil || size > s.most/4 {
		return // one entry must not evict most of the others
	}
	program, path, err := s.place(k)
	if err != nil || os.MkdirAll(s.dir, 0o700) != nil {
		return
	}
	s.evict(size)
	_ = atomicfile.WriteUnsynced(path, append(header(program, k, body), body...), 0o600)
}

func header(program [32]byte, k Key, body []byte) []byte {
	sum := sha256.Sum256(body)
	head := slices.Concat([]byte(magic), program[:], k[:], sum[:])
	return binary.LittleEndian.AppendUint64(head, uint64(len(body)))
}

// ours tells whether a file in the folder is one that this package writes.
func ours(name string) bool {
	return strings.HasSuffix(name, suffix) || strings.HasSuffix(name, formerSuffix) ||
		strings.HasPrefix(name, atomicfile.Prefix)
}
