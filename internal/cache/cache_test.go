package cache

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"ohmward/geom"
	"ohmward/internal/atomicfile"
)

var key = func() Key { h := NewKey("test"); h.Ints(1, 2); h.Floats(0.5); return h.Key() }()

// recall looks up numbers under the key; made tells whether they had to be
// computed.
func recall(t *testing.T, s *Store, v []float64) (made bool) {
	t.Helper()
	got, err := Memo(s, key, (*Writer).Floats, (*Reader).Floats, func() ([]float64, error) { made = true; return v, nil })
	if err != nil || !slices.Equal(got, v) {
		t.Errorf("got %v and %v, want %v", got, err, v)
	}
	return made
}

func only(t *testing.T, dir string) string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(dir, "*"))
	if err != nil || len(files) != 1 {
		t.Fatalf("the folder holds %v, want one file", files)
	}
	return files[0]
}

func TestMemo(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "made", "when", "needed")
	s := In(dir, "p", 1e6)
	if !recall(t, s, []float64{1, 2}) {
		t.Error("found in an empty store")
	}
	if recall(t, s, []float64{1, 2}) {
		t.Error("computed again")
	}
	if !recall(t, In(dir, "another program", 1e6), []float64{1, 2, 3}) {
		t.Error("another program found it")
	}
	if recall(t, s, []float64{1, 2}) {
		t.Error("lost to another program")
	}
	for range 2 {
		if !recall(t, nil, []float64{7}) {
			t.Error("a nil store stored something")
		}
	}
}

func TestErrorsAreNotStored(t *testing.T) {
	s, fail := In(t.TempDir(), "p", 1e6), errors.New("no")
	if _, err := Memo(s, key, (*Writer).Floats, (*Reader).Floats, func() ([]float64, error) { return nil, fail }); err != fail {
		t.Errorf("got %v, want %v", err, fail)
	}
	if !recall(t, s, []float64{1}) {
		t.Error("a failure was stored")
	}
}

// TestDamaged puts a fault in every byte of an entry, and cuts it short
// and adds to it: each time it is computed and written anew.
func TestDamaged(t *testing.T) {
	dir := t.TempDir()
	s := In(dir, "p", 1e6)
	want := []float64{3, 4}
	recall(t, s, want)
	path := only(t, dir)
	sound, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	try := func(what string, data []byte) {
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		if !recall(t, s, want) {
			t.Errorf("%s: taken as sound", what)
		}
		if again, err := os.ReadFile(path); err != nil || !bytes.Equal(again, sound) {
			t.Errorf("%s: not written anew", what)
		}
	}
	for i := range sound {
		bad := bytes.Clone(sound)
		bad[i] ^= 0x10
		try("byte changed", bad)
	}
	try("cut", sound[:len(sound)-1])
	try("empty", nil)
	try("longer", append(bytes.Clone(sound), 0))
	try("foreign", bytes.Repeat([]byte("not a result\n"), 50))
}

// TestDoesNotReadBack stores under a right checksum what the reader refuses.
func TestDoesNotReadBack(t *testing.T) {
	s := In(t.TempDir(), "p", 1e6)
	w := new(Writer)
	w.Int(1 << 40) // a list longer than all memory
	s.put(key, w.buf)
	if !recall(t, s, []float64{5}) {
		t.Error("a list longer than its file was read")
	}
	if recall(t, s, []float64{5}) {
		t.Error("not written anew")
	}
}

func TestCannotBeWritten(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	s := In(filepath.Join(file, "below"), "p", 1e6)
	for range 2 {
		if !recall(t, s, []float64{1}) {
			t.Error("stored where no folder can be")
		}
	}
	small := In(t.TempDir(), "p", 100)
	for range 2 {
		if !recall(t, small, []float64{1}) {
			t.Error("stored beyond the bound")
		}
	}
}

// TestBound fills a store to its bound: the least recently used entries go.
func TestBound(t *testing.T) {
	dir := t.TempDir()
	s := In(dir, "p", 10_000)
	put := func(i int64) Key {
		h := NewKey("bound")
		h.Ints(i)
		s.put(h.Key(), make([]byte, 2000))
		return h.Key()
	}
	foreign := filepath.Join(dir, "a letter")
	left := filepath.Join(dir, atomicfile.Prefix+"left")
	former := filepath.Join(dir, "0123"+formerSuffix)
	for _, path := range []string{foreign, left, former} {
		if err := os.WriteFile(path, make([]byte, 3000), 0o600); err != nil {
			t.Fatal(err)
		}
		long := time.Now().Add(-2 * abandoned)
		os.Chtimes(path, long, long)
	}
	var keys []Key
	for i := range int64(4) {
		keys = append(keys, put(i))
		_, path, _ := s.place(keys[i])
		at := time.Now().Add(time.Duration(i-10) * time.Minute)
		os.Chtimes(path, at, at)
	}
	if _, ok := s.get(keys[0]); !ok { // now the last used
		t.Fatal("the first entry is gone though there was room")
	}
	put(4)
	var has []bool
	for _, k := range keys {
		_, path, _ := s.place(k)
		_, err := os.Stat(path)
		has = append(has, err == nil)
	}
	if want := []bool{true, false, true, true}; !slices.Equal(has, want) {
		t.Errorf("left are %v, want %v", has, want)
	}
	if _, err := os.Stat(foreign); err != nil {
		t.Error("a file that is not ours was removed")
	}
	if _, err := os.Stat(left); err == nil {
		t.Error("what a writer left behind was not removed")
	}
	if _, err := os.Stat(former); err == nil {
		t.Error("an entry of a former version was not removed")
	}
}

// TestTwoProcesses lets processes write and read one folder at once: the test
// program calls itself.
func TestTwoProcesses(t *testing.T) {
	const variable = "CACHE_TEST_FOLDER"
	if dir := os.Getenv(variable); dir != "" {
		s := In(dir, "p", 40_000) // room for some, so that they also remove
		for round := range 30 {
			for i := range int64(8) {
				h := NewKey("shared")
				h.Ints(i)
				want := slices.Repeat([]float64{float64(i)}, 900)
				got, err := Memo(s, h.Key(), (*Writer).Floats, (*Reader).Floats, func() ([]float64, error) { return want, nil })
				if err != nil || !slices.Equal(got, want) {
					t.Fatalf("round %d, result %d: got another, %v", round, i, err)
				}
			}
		}
		return
	}
	dir := t.TempDir()
	var all []*exec.Cmd
	for range 3 {
		c := exec.Command(os.Args[0], "-test.run=^TestTwoProcesses$")
		c.Env = append(os.Environ(), variable+"="+dir)
		c.Stdout = new(strings.Builder)
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		all = append(all, c)
	}
	for _, c := range all {
		if err := c.Wait(); err != nil {
			t.Errorf("%v: %v", err, c.Stdout)
		}
	}
	files, _ := filepath.Glob(filepath.Join(dir, atomicfile.Prefix+"*"))
	if len(files) > 0 {
		t.Errorf("left behind: %v", files)
	}
}

// user is the user's own store.
func user(t *testing.T) *Store {
	t.Helper()
	s, err := User()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestUser(t *testing.T) {
	t.Setenv(Variable, "off")
	if user(t) != nil {
		t.Error("off is not off")
	}
	dir := t.TempDir()
	t.Setenv(Variable, dir)
	recall(t, user(t), []float64{1})
	only(t, dir)
	if recall(t, user(t), []float64{1}) {
		t.Error("the same program did not find its own")
	}
}

func TestRegion(t *testing.T) {
	want := geom.Region{
		{Outer: geom.Ring{{X: -5, Y: 0}, {X: geom.MaxCoord, Y: 1}, {X: 3, Y: 9}}, Holes: []geom.Ring{{{X: 1, Y: 1}, {X: 2, Y: 2}, {X: 2, Y: 1}}}},
		{Outer: geom.Ring{{X: 7, Y: 7}, {X: 8, Y: 7}, {X: 8, Y: 8}, {X: 7, Y: 8}}},
	}
	w := new(Writer)
	w.Region(want)
	r := &Reader{left: w.buf}
	got := r.Region()
	h, k := NewKey("r"), NewKey("r")
	h.Region(want)
	k.Region(got)
	if !r.done() || h.Key() != k.Key() {
		t.Errorf("read back as %v, want %v", got, want)
	}
}

// FuzzRead gives the readers any bytes: they must end, and take no more memory
// than the bytes can hold.
func FuzzRead(f *testing.F) {
	w := new(Writer)
	w.Region(geom.Region{{Outer: geom.Ring{{X: 1, Y: 2}, {X: 3, Y: 4}, {X: 5, Y: 6}}}})
	f.Add(w.buf)
	f.Add([]byte{0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0x7f})
	f.Fuzz(func(t *testing.T, data []byte) {
		r := &Reader{left: data}
		if n := r.Region().Vertices(); 2*n > len(data) {
			t.Errorf("%d points of %d bytes", n, len(data))
		}
		r = &Reader{left: data}
		if v := r.Int32s(0, 100); len(v) > len(data) {
			t.Errorf("%d numbers of %d bytes", len(v), len(data))
		}
		r = &Reader{left: data}
		if v := r.Bools(); len(v) > len(data) {
			t.Errorf("%d truth values of %d bytes", len(v), len(data))
		}
	})
}
