package boardread

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"

	"ohmward/internal/board"
)

// Bounds on how far an archive may swell: an entry, and all of it beside a
// first allowance. Gerber text packs about ten to one.
const (
	maxRatio      = 250
	maxTotalRatio = 60
	allowance     = 64 << 20
)

// archive is an unpacked zip in memory. Nothing is ever written to disk, so
// the names inside can do no harm; those that leave the archive are passed
// over all the same.
type archive struct {
	files map[string][]byte
	order []string
	odd   []board.File // entries ignored

	nested bool // it came out of another archive
}

// unpack reads a zip held in memory within the bounds of list.go.
func unpack(data []byte) (*archive, error) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, fmt.Errorf("not a readable zip (%v): pack it again or unpack it into a folder", err)
	}
	if len(z.File) > maxFiles {
		return nil, fmt.Errorf("the zip holds %d entries, more than %d", len(z.File), maxFiles)
	}
	a := &archive{files: map[string][]byte{}}
	most := int(min(maxTotal, allowance+maxTotalRatio*int64(len(data))))
	total := 0
	for _, f := range z.File {
		if f.FileInfo().IsDir() {
			continue
		}
		name := strings.ReplaceAll(f.Name, `\`, "/")
		if !fs.ValidPath(name) || !f.Mode().IsRegular() {
			a.odd = append(a.odd, board.File{Path: f.Name, Role: ignored,
				Why: "its path leaves the archive or is no plain file"})
			continue
		}
		if hiddenName(path.Base(name)) || strings.HasPrefix(name, "__MACOSX/") {
			continue
		}
		body, err := inflate(f, most-total)
		if err != nil {
			return nil, fmt.Errorf("zip entry %s: %w", name, err)
		}
		total += len(body)
		if _, twice := a.files[name]; twice {
			return nil, fmt.Errorf("zip entry %s: stands in the archive twice", name)
		}
		a.files[name] = body
		a.order = append(a.order, name)
	}
	a.strip()
	return a, nil
}

// inflate unpacks one entry of at most room bytes.
func inflate(f *zip.File, most int) ([]byte, error) {
	if f.Flags&1 != 0 {
		return nil, errors.New("is encrypted: unpack the zip first and give the folder")
	}
	if f.UncompressedSize64 > maxFile {
		return nil, errTooLarge
	}
	if f.UncompressedSize64 > uint64(most) {
		return nil, errors.New("the zip swells to more than any board's files: not unpacked")
	}
	limit := min(int64(most), maxFile, int64(min(f.CompressedSize64, maxFile))*maxRatio+1<<20)
	r, err := f.Open()
	if err != nil {
		return nil, err
	}
	defer r.Close()
	body, err := io.ReadAll(io.LimitReader(r, limit+1))
	if err != nil {
		return nil, err
	}
	if int64(len(body)) > limit {
		return nil, fmt.Errorf("swells to more than %d bytes from %d: not unpacked", limit, f.CompressedSize64)
	}
	return body, nil
}

// strip takes away folders that all entries share, so that a zipped folder
// reads like the folder.
func (a *archive) strip() {
	for len(a.order) > 0 {
		first, _, ok := strings.Cut(a.order[0], "/")
		elsewhere := func(n string) bool { return !strings.HasPrefix(n, first+"/") }
		if !ok || slices.ContainsFunc(a.order, elsewhere) {
			return
		}
		files := make(map[string][]byte, len(a.files))
		for i, n := range a.order {
			a.order[i] = n[len(first)+1:]
			files[a.order[i]] = a.files[n]
		}
		a.files = files
	}
}

// entries lists what the archive holds down to one sub-folder.
func (a *archive) entries() []entry {
	var out []entry
	for _, n := range a.order {
		if strings.Count(n, "/") <= 1 {
			out = append(out, entry{n, int64(len(a.files[n]))})
		}
	}
	slices.SortFunc(out, comparePaths)
	return out
}

// open gives an entry as a file.
func (a *archive) open(name string) (io.ReadCloser, error) {
	b, ok := a.files[name]
	if !ok {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	return io.NopCloser(bytes.NewReader(b)), nil
}

// within gives the archive of one of its folders, or the zip that is one of
// its entries, unpacked.
func (a *archive) within(inner string) (*archive, error) {
	if body, ok := a.files[inner]; ok && isZip(body) {
		return unpack(body)
	}
	out := &archive{files: map[string][]byte{}}
	for _, n := range a.order {
		if rest, ok := strings.CutPrefix(n, inner+"/"); ok {
			out.files[rest] = a.files[n]
			out.order = append(out.order, rest)
		}
	}
	if len(out.order) == 0 {
		return nil, fmt.Errorf("no folder or zip %s in it: it holds %s", inner, someOf(a.tops()))
	}
	out.strip()
	return out, nil
}

// tops lists the folders that hold the archive's files, and the zips in it.
func (a *archive) tops() []string {
	var out []string
	for _, n := range a.order {
		top := path.Dir(n)
		if isZip(a.files[n]) {
			top = n
		}
		if top != "." && !slices.Contains(out, top) {
			out = append(out, top)
		}
	}
	slices.Sort(out)
	return out
}

// someOf lists a few names.
func someOf(names []string) string {
	const most = 6
	switch n := len(names); {
	case n == 0:
		return "no folders"
	case n > most:
		return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), n-most)
	}
	return strings.Join(names, ", ")
}

// alone gives the only zip in an archive without copper of its own, unpacked;
// nil where there is none or more than one.
func (a *archive) alone() (*archive, string, error) {
	zips := slices.DeleteFunc(slices.Clone(a.order), func(n string) bool { return !isZip(a.files[n]) })
	if len(zips) != 1 {
		return nil, "", nil
	}
	in, err := unpack(a.files[zips[0]])
	return in, zips[0], err
}
