package session

import (
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"
	"syscall"
	"unicode"

	"ohmward/internal/answer"
	"ohmward/internal/record"
)

// Bounds of what may be brought to a folder.
const (
	MostUpload      = 256 << 20 // bytes in all
	mostUploadFiles = 2000
	mostUploadDepth = 8
)

// Upload is a board on its way to the folder.
type Upload struct {
	folder *CaseFolder
	dir    string // boards/HEX/NAME
	top    string // what the folder that was brought is called, in its files' paths
	bytes  int64
	files  int
	names  map[string]string // path as brought, by the name it is kept under, in small letters
}

// Bring makes room for a board; name is what its folder or archive was called.
func (s *CaseFolder) Bring(name string) (*Upload, error) {
	var own [6]byte
	if _, err := rand.Read(own[:]); err != nil {
		return nil, err
	}
	base := path.Base(strings.ReplaceAll(name, `\`, "/"))
	for _, ending := range []string{".zip", ".xml", ".cvg"} {
		if cut, ok := strings.CutSuffix(strings.ToLower(base), ending); ok {
			base = base[:len(cut)]
		}
	}
	u := &Upload{folder: s, dir: path.Join("boards", hex.EncodeToString(own[:]), plainName(base, "board")),
		top: plainName(name, "_"), names: map[string]string{}}
	if err := s.root.MkdirAll(u.dir, 0o755); err != nil {
		return nil, answer.AsError(err)
	}
	return u, nil
}

// plainName keeps of a name what every file system takes.
func plainName(name, otherwise string) string {
	clean := strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || strings.ContainsRune(" ._-+()", r) {
			return r
		}
		return '_'
	}, name)
	clean = strings.Trim(clean, " .")
	if r := []rune(clean); len(r) > 80 {
		clean = strings.Trim(string(r[:40])+"…"+string(r[len(r)-39:]), " .")
	}
	if clean == "" {
		return otherwise
	}
	return clean
}

// Add takes one file; rel is its path in the folder that was brought. Of the
// path only plain names are used, so that it stays in the board's folder.
func (u *Upload) Add(rel string, from io.Reader) error {
	if u.files++; u.files > mostUploadFiles {
		return &answer.Error{Kind: answer.Bad, What: fmt.Sprintf("more than %d files", mostUploadFiles),
			Hint: "bring only the folder with the Gerber and drill files"}
	}
	var parts []string
	for _, p := range strings.Split(strings.ReplaceAll(rel, `\`, "/"), "/") {
		if p != "" && p != "." && p != ".." {
			parts = append(parts, plainName(p, "_"))
		}
	}
	if len(parts) > 1 && parts[0] == u.top { // the board's own folder stands for it
		parts = parts[1:]
	}
	if len(parts) == 0 || len(parts) > mostUploadDepth {
		return &answer.Error{Kind: answer.Bad, What: fmt.Sprintf("%.60q is no file name in a board's folder", rel)}
	}
	name := path.Join(append([]string{u.dir}, parts...)...)
	key := strings.ToLower(name) // some file systems tell no more apart
	if other, taken := u.names[key]; taken {
		return &answer.Error{Kind: answer.Bad, What: fmt.Sprintf("two files have one name: %.80q and %.80q", other, rel),
			Hint: "bring one board's folder or zip; rename one of the two if both belong to it"}
	}
	u.names[key] = rel
	if err := u.folder.root.MkdirAll(path.Dir(name), 0o755); err != nil {
		return answer.AsError(err)
	}
	f, err := u.folder.root.Create(name)
	if err != nil {
		return answer.AsError(err)
	}
	n, err := io.Copy(f, io.LimitReader(from, MostUpload-u.bytes+1))
	if closing := f.Close(); err == nil {
		err = closing
	}
	if u.bytes += n; err == nil && u.bytes > MostUpload {
		return TooBig()
	}
	if err != nil {
		return &answer.Error{Kind: answer.Bad, What: fmt.Sprintf("a file cannot be kept, %s: %v",
			parts[len(parts)-1], plainCause(err)), Hint: makeRoom, Cause: err}
	}
	return nil
}

// plainCause is what the system said, without the path that only it needs.
func plainCause(err error) error {
	var errno syscall.Errno
	if errors.As(err, &errno) {
		return errno
	}
	return answer.AsError(err)
}

// makeRoom is what to do about a disk that takes no more.
const makeRoom = "make room on the disk, or start ohmward bench with --cases in a folder on another"

// TooBig is the error for more than MostUpload bytes.
func TooBig() error {
	return &answer.Error{Kind: answer.Bad, What: fmt.Sprintf("more than %d MB", MostUpload>>20),
		Hint: "bring only the fabrication files, or start ohmward bench with the folder's name"}
}

// Drop takes back what was brought.
func (u *Upload) Drop() {
	// The room is ours alone; what cannot be removed does no harm.
	_ = u.folder.root.RemoveAll(path.Dir(u.dir))
}

// Begin begins a case on the board that was brought.
func (u *Upload) Begin() (string, error) {
	if u.files == 0 {
		return "", &answer.Error{Kind: answer.Bad, What: "nothing was brought",
			Hint: "bring the folder or zip with the board's Gerber and drill files"}
	}
	c := &record.Case{Board: path.Join("..", "..", u.dir), Meter: record.Meter{Profile: handHeldMeter},
		Steps: &record.Steps{}}
	return u.folder.begin(path.Base(u.dir), c)
}

// handHeldMeter is the profile where tips are held and nothing else is stated.
const handHeldMeter = "bench-6.5-digit-hand"
