package boardread_test

import (
	"bytes"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"ohmward/demo"
	"ohmward/internal/boardread"
	"ohmward/internal/cache"
	"ohmward/internal/check"
)

// mutation takes copper or holes away from a file's lines; nil: it cannot.
type mutation struct {
	what  string
	class string // of the file's role
	told  bool   // always, whatever the board
	do    func(lines [][]byte, rng *rand.Rand) [][]byte
}

var (
	landLine  = regexp.MustCompile(`^(X[-+0-9.]+)?(Y[-+0-9.]+)?D0?3\*`)
	trackLine = regexp.MustCompile(`^(X[-+0-9.]+)?(Y[-+0-9.]+)?D0?1\*`)
	holeLine  = regexp.MustCompile(`^X[-+0-9.]+Y[-+0-9.]+$`)
	toolLine  = regexp.MustCompile(`^T0*[1-9][0-9]*.*C[0-9.]+`)
	startLine = regexp.MustCompile(`D0?2\*|^G36|^D[1-9][0-9]+\*|^G54D`)
)

// matching lists the lines that a pattern finds.
func matching(lines [][]byte, p *regexp.Regexp) (out []int) {
	for i, l := range lines {
		if p.Match(bytes.TrimSpace(l)) {
			out = append(out, i)
		}
	}
	return out
}

// without takes some of the lines that a pattern finds away.
func without(p *regexp.Regexp, some int) func([][]byte, *rand.Rand) [][]byte {
	return func(lines [][]byte, rng *rand.Rand) [][]byte {
		found := matching(lines, p)
		if len(found) < 2*some {
			return nil
		}
		gone := map[int]bool{}
		for _, k := range rng.Perm(len(found))[:some] {
			gone[found[k]] = true
		}
		var out [][]byte
		for i, l := range lines {
			if !gone[i] {
				out = append(out, l)
			}
		}
		return out
	}
}

// inserted puts a line in front of one that a pattern finds, between two shares of
// all that it finds.
func inserted(line string, p *regexp.Regexp, from, to float64) func([][]byte, *rand.Rand) [][]byte {
	return func(lines [][]byte, rng *rand.Rand) [][]byte {
		found := matching(lines, p)
		if len(found) < 10 {
			return nil
		}
		at := found[int((from+(to-from)*rng.Float64())*float64(len(found)))]
		return append(append(append([][]byte{}, lines[:at]...), []byte(line+"\n")), lines[at:]...)
	}
}

// garbled puts a sign that means nothing in place of a line's first.
func garbled(p *regexp.Regexp) func([][]byte, *rand.Rand) [][]byte {
	return func(lines [][]byte, rng *rand.Rand) [][]byte {
		found := matching(lines, p)
		if len(found) == 0 {
			return nil
		}
		at := found[rng.IntN(len(found))]
		out := append([][]byte{}, lines...)
		out[at] = append([]byte("?"), lines[at][1:]...)
		return out
	}
}

var mutations = []mutation{
	{"end mark at two thirds of a copper file", "copper", true, inserted("M02*", startLine, 0.6, 0.7)},
	{"line of copper garbled", "copper", true, garbled(trackLine)},
	{"stray clear polarity in a copper file", "copper", false, inserted("%LPC*%", startLine, 0, 0.9)},
	{"stray clear polarity at its start", "copper", false, inserted("%LPC*%", startLine, 0, 0.01)},
	{"one land missing", "copper", false, without(landLine, 1)},
	{"ten lands missing", "copper", false, without(landLine, 10)},
	{"one stroke missing", "copper", false, without(trackLine, 1)},
	{"end mark in mid-drill", "drill", true, inserted("M30", holeLine, 0.3, 0.7)},
	{"line of holes garbled", "drill", true, garbled(holeLine)},
	{"one hole missing", "drill", false, without(holeLine, 1)},
	{"five holes missing", "drill", false, without(holeLine, 5)},
	{"size of one tool missing", "drill", true, without(toolLine, 1)},
}

// TestMutants takes copper or holes away from real boards and tells how often that
// is noticed, in the table of docs/formats.md.
func TestMutants(t *testing.T) {
	names := []string{"ts-usbvil", "simplefoc-shield", "openrpncalc", "fomu-dvt1a", "ts-8bit-mixtape", "upduino-v3", "glasgow-revc0", "orangecrab"}
	tried, told := map[string]int{}, map[string]int{}
	run := func(name string, folder map[string][]byte) {
		t.Run(name, func(t *testing.T) { mutate(t, folder, tried, told) })
	}
	run("demo", contents(t, demoFolder(t)))
	draws := check.Draws(t, 0, 1, 3)
	if check.All() {
		draws = len(names)
	}
	for _, n := range names[:draws] {
		dir := filepath.Join(check.Root(t), "..", "shared", "checks", "boards", n)
		if _, err := os.Stat(dir); err == nil {
			run(n, contents(t, dir))
		}
	}
	total, noticed := 0, 0
	for _, m := range mutations {
		t.Logf("| %s | %d | %d |", m.what, tried[m.what], told[m.what])
		total, noticed = total+tried[m.what], noticed+told[m.what]
		if m.told && tried[m.what] == 0 {
			t.Errorf("%s: never tried", m.what)
		}
	}
	t.Logf("| all | %d | %d |", total, noticed)
}

func demoFolder(t *testing.T) string {
	dir := t.TempDir()
	if err := os.CopyFS(dir, demo.Board()); err != nil {
		t.Fatal(err)
	}
	return dir
}

func contents(t *testing.T, dir string) map[string][]byte {
	out := map[string][]byte{}
	for name, f := range loaded(t, os.DirFS(dir)) {
		if !strings.HasSuffix(name, ".zip") {
			out[name] = f.Data
		}
	}
	return out
}

// holds tells how much copper and how many holes a board has.
func holds(t *testing.T, set fs.FS, opt boardread.Options) string {
	b, err := boardread.Read(set, "set", opt)
	if err != nil {
		t.Fatal(err)
	}
	out := fmt.Sprintf("%d holes", len(b.Holes))
	for _, l := range b.Layers {
		out += fmt.Sprintf(", %.6f mm2", l.Copper.Area()*1e-12)
	}
	return out
}

// mutate makes one mutant of each kind of a board. One that loses nothing does not
// count.
func mutate(t *testing.T, folder map[string][]byte, tried, told map[string]int) {
	set := with(nil, "", nil)
	for name, data := range folder {
		set = with(set, name, data)
	}
	opt := boardread.Options{Cache: cache.In(t.TempDir(), "mutants", 1<<30)}
	intact, files := doubtsOf(set, opt)
	whole := holds(t, set, opt)
	known := map[string]bool{}
	for _, d := range intact {
		known[d] = true
	}
	rng := rand.New(rand.NewPCG(13, uint64(len(folder))))
	for _, m := range mutations {
		var of []string
		for _, f := range files {
			if class, _, _ := strings.Cut(f.Role, " "); class == m.class && m.do(bytes.SplitAfter(folder[f.Path], []byte("\n")), rand.New(rand.NewPCG(1, 1))) != nil {
				of = append(of, f.Path)
			}
		}
		if len(of) == 0 {
			continue
		}
		name := of[rng.IntN(len(of))]
		mutant := bytes.Join(m.do(bytes.SplitAfter(folder[name], []byte("\n")), rng), nil)
		tried[m.what]++
		found, _ := doubtsOf(with(set, name, mutant), opt)
		fresh := ""
		for _, d := range found {
			if !known[d] && fresh == "" {
				fresh = d
			}
		}
		switch {
		case fresh != "":
			told[m.what]++
		case holds(t, with(set, name, mutant), opt) == whole:
			tried[m.what]-- // it is under other copper, or told by another file
			fresh = "nothing is lost"
		case m.told:
			t.Errorf("%s in %s is not told", m.what, name)
		}
		t.Logf("%s in %s: %.100s", m.what, name, fresh)
	}
}
