package boardread_test

import (
	"bytes"
	"context"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"ohmward/demo"
	"ohmward/internal/board"
	"ohmward/internal/boardread"
	"ohmward/internal/cache"
	"ohmward/internal/check"
	"ohmward/internal/copper"
	"ohmward/tools/speed/boards"
)

// broken is a set of files with one thing wrong in it.
type broken struct {
	how, file string
	set       fstest.MapFS
	roles     []string
}

// loaded is a folder's files in memory.
func loaded(t *testing.T, folder fs.FS) fstest.MapFS {
	t.Helper()
	out := fstest.MapFS{}
	names, err := fs.Glob(folder, "*")
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range names {
		data, err := fs.ReadFile(folder, n)
		if err != nil {
			t.Fatal(err)
		}
		out[n] = &fstest.MapFile{Data: data}
	}
	return out
}

// with gives the set with one file put in another's place; nil takes it away.
func with(set fstest.MapFS, name string, data []byte) fstest.MapFS {
	out := fstest.MapFS{}
	for n, f := range set {
		out[n] = f
	}
	if delete(out, name); data != nil {
		out[name] = &fstest.MapFile{Data: data}
	}
	return out
}

var formatBlock = regexp.MustCompile(`%(FS|MO)[^%]*%|%?FS[LTD][AI]X[0-9]{2}Y[0-9]{2}\*`)

// moved puts a block of the older image commands behind a Gerber's format and
// unit.
func moved(data []byte, block string) []byte {
	at := 0
	for _, m := range formatBlock.FindAllIndex(data, -1) {
		at = m[1]
	}
	if at == 0 {
		return nil
	}
	return bytes.Join([][]byte{data[:at], []byte("\n%" + block + "*%\n"), data[at:]}, nil)
}

// halfMillimetre is the offset block of 0.5 mm in a file's unit.
func halfMillimetre(data []byte) string {
	if bytes.Contains(data, []byte("MOIN")) {
		return "OFA0.019685B0"
	}
	return "OFA0.5B0"
}

var swaps = [][2]string{{"METRIC", "INCH"}, {"INCH", "METRIC"}, {",LZ", ",TZ"}, {",TZ", ",LZ"}, {"M72", "M71"}, {"M71", "M72"}}

// breakages are all the ways in which a set is broken here. Files of other
// boards come from alien, by role.
func breakages(set fstest.MapFS, files []board.File, alien map[string][]byte) []broken {
	var out []broken
	add := func(how, file string, data []byte) {
		if how == "deleted" || data != nil && !bytes.Equal(data, set[file].Data) {
			out = append(out, broken{how: how, file: file, set: with(set, file, data)})
		}
	}
	for _, f := range files {
		if set[f.Path] == nil {
			continue
		}
		data := set[f.Path].Data
		class, _, _ := strings.Cut(f.Role, " ")
		switch class {
		case "copper", "mask", "profile", "drill", "netlist", "job", "paste", "whole":
		default:
			continue
		}
		add("deleted", f.Path, nil)
		add("half", f.Path, data[:len(data)/2])
		if other := alien[class]; other != nil {
			add("another board's", f.Path, other)
			if class != "netlist" && class != "job" && class != "whole" && len(out) > 0 {
				out[len(out)-1].roles = []string{f.Path + "=" + f.Role}
			}
		}
		switch class {
		case "copper", "mask", "profile", "paste":
			add("shifted", f.Path, moved(data, halfMillimetre(data)))
			add("mirrored", f.Path, moved(data, "MIA1B0"))
		case "drill":
			for _, s := range swaps {
				if bytes.Contains(data, []byte(s[0])) {
					add(s[0]+" for "+s[1], f.Path, bytes.Replace(data, []byte(s[0]), []byte(s[1]), 1))
				}
			}
		}
	}
	return out
}

// doubtsOf reads a set to nets and lists its doubts; an error is one.
func doubtsOf(set fs.FS, opt boardread.Options) ([]string, []board.File) {
	b, err := boardread.Read(set, "set", opt)
	if err != nil {
		return []string{"error: " + err.Error()}, nil
	}
	var out []string
	for _, d := range b.Doubts {
		out = append(out, d.File+": "+d.What)
	}
	if len(out) > 0 {
		return out, b.Files
	}
	n, err := copper.Extract(context.Background(), b, copper.Options{})
	if err != nil {
		return append(out, "error: "+err.Error()), b.Files
	}
	for _, d := range n.Doubts {
		out = append(out, d.File+": "+d.What)
	}
	return out, b.Files
}

// byRole gives the largest file of each role in a set.
func byRole(t *testing.T, folder fs.FS) map[string][]byte {
	t.Helper()
	out := map[string][]byte{}
	set := loaded(t, folder)
	_, files := doubtsOf(set, boardread.Options{})
	for _, f := range files {
		class, _, _ := strings.Cut(f.Role, " ")
		if data := set[f.Path].Data; len(data) > len(out[class]) {
			out[class] = data
		}
	}
	return out
}

// generated is a small board of the family that speed is measured with.
func generated(t *testing.T) fs.FS {
	t.Helper()
	dir := t.TempDir()
	if err := boards.New(20_000, 0, 1).Write(dir); err != nil {
		t.Fatal(err)
	}
	return os.DirFS(dir)
}

// unseen are the breakages that nothing in a set of files can show, with the
// reason.
var unseen = []struct{ how, file, why string }{
	{"deleted", `(?i)paste|\.g[tb]p$`, "nothing else tells of paste"},
	{"deleted", `(?i)unplated|npth|job$|d356$`, "a set may lack it"},
	{"shifted|mirrored", `paste-bottom|B_Paste|\.gbp$`, "it has fewer than four openings, or lies on others by its even pitch"},
	{"shifted", `(?i)profile|edge.?cuts|outline|\.gko$|\.gml$`, "the copper keeps more distance from the edge than that"},
	{"deleted", `Through_Via`, "the other drill file repeats its holes"},
	{"LZ for ,TZ", `Drill_PTH`, "all digits are written: it reads the same"},
	{"deleted", `UPduino_v3.0-PTH\.drl`, "the holes as Gerber beside it tell the same, and are taken"},
	{" for ", `NPTH\.drl`, "it has no hole"},
	{"Z for ", `front-in1|in1-in2|in2-back|PTH\.drl|plated\.drl|glasgow\.drl`, "its coordinates have a decimal point: it reads the same"},
	{"shifted", `tomu-fpga-F\.Mask`, "one window over most of the board"},
}

func whyUnseen(b broken) string {
	for _, u := range unseen {
		if regexp.MustCompile(u.how).MatchString(b.how) && regexp.MustCompile(u.file).MatchString(b.file) {
			return u.why
		}
	}
	return ""
}

// TestSweep breaks one file at a time in every way that happens, and asks that
// each is noticed by an error or a doubt that the intact set does not have,
// and that it names the file or its layer. Sets are read into memory once,
// and what files that stay the same paint is kept.
func TestSweep(t *testing.T) {
	sets := map[string]fs.FS{"demo": with(loaded(t, demo.Board()), "RL-40.gbrjob", nil)}
	order := []string{"demo"}
	if !testing.Short() {
		sets["demo with its job file"] = demo.Board()
		order = append(order, "demo with its job file")
		boards := []string{"fomu-dvt1a", "openrpncalc", "upduino-v3", "simplefoc-shield", "ts-8bit-mixtape", "ts-usbvil", "glasgow-revc0", "orangecrab"}
		for _, n := range boards[:check.Draws(t, 0, 1, len(boards))] {
			dir := filepath.Join(check.Root(t), "..", "shared", "checks", "boards", n)
			if _, err := os.Stat(dir); err == nil {
				sets[n] = os.DirFS(dir)
				order = append(order, n)
			}
		}
		if len(order) == 2 {
			t.Log("no ../shared folder with outside checks: the demo alone is broken")
		}
	}
	for _, name := range order {
		t.Run(name, func(t *testing.T) { sweep(t, name, sets[name]) })
	}
}

func sweep(t *testing.T, name string, folder fs.FS) {
	set := loaded(t, folder)
	opt := boardread.Options{Cache: cache.In(t.TempDir(), "sweep", 1<<30)}
	intact, files := doubtsOf(set, opt)
	known := map[string]bool{}
	for _, d := range intact {
		known[d] = true
	}
	if strings.HasPrefix(name, "demo") && len(intact) > 0 {
		t.Errorf("the intact set has doubts: %q", intact)
	}
	alien := byRole(t, demo.Board())
	if strings.HasPrefix(name, "demo") {
		alien = byRole(t, generated(t))
	}
	for i, b := range breakages(set, files, alien) {
		if testing.Short() && i%8 != 0 {
			continue
		}
		opt.Roles = b.roles
		found, _ := doubtsOf(b.set, opt)
		var fresh []string
		for _, d := range found {
			if !known[d] && !strings.Contains(d, "deprecated image commands") {
				fresh = append(fresh, d)
			}
		}
		why := whyUnseen(b)
		switch {
		case len(fresh) == 0 && why == "":
			t.Errorf("%s %s is not noticed", b.how, b.file)
		case len(fresh) == 0:
			t.Logf("%s %s is not noticed: %s", b.how, b.file, why)
		case b.how != "deleted" && !names(fresh, b.file, files):
			t.Errorf("%s %s is noticed, but not by its name: %q", b.how, b.file, fresh)
		default:
			t.Logf("%s %s: %.120s", b.how, b.file, fresh[0])
		}
	}
}

// names tells whether a doubt names the file or its layer.
func names(doubts []string, file string, files []board.File) bool {
	layer := "none"
	for _, f := range files {
		if f.Path == file {
			layer = strings.TrimPrefix(f.Role, "copper ")
		}
	}
	for _, d := range doubts {
		if strings.Contains(d, file) || strings.Contains(d, layer) {
			return true
		}
	}
	return false
}
