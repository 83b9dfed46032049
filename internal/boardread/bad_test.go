package boardread

import (
	"archive/zip"
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"ohmward/internal/board"
)

func TestBadInput(t *testing.T) {
	good := smallBoard()
	cut := func(name string) []byte { d := good[name].Data; return d[:len(d)-len("M02*\n")] }
	inch := drillText("T1\nX0.19685Y0.19685\nX0.590551Y0.19685\nT2\nX0.3937Y0.3937\nX0.3937Y0.47244\n")
	shifted := drillText("T1\nX55.0Y5.0\nX65.0Y5.0\nT2\nX60.0Y10.0\nX60.0Y12.0\n")
	four := put(put(good, "b-bottom.gbr", gerberText("Copper,L4,Bot", "D11*\n"+flash(5, 5))),
		"b-in1.gbr", gerberText("Copper,L2,Inr", "D11*\n"+flash(5, 5)))
	for _, c := range []struct {
		name string
		set  fstest.MapFS
		want []string // words of the error
	}{
		{"an empty folder", fstest.MapFS{}, []string{"empty"}},
		{"not a board", fstest.MapFS{"letter.txt": {Data: []byte("Dear Sir")}, "cat.png": {Data: []byte("\x89PNG\r\n\x00")}}, []string{"no copper layer"}},
		{"no copper", put(put(good, "b-top.gbr", nil), "b-bottom.gbr", nil), []string{"no copper layer"}},
		{"an inner layer missing", four, []string{"L3", "no file"}},
		{"the top missing", put(good, "b-top.gbr", nil), []string{"L1", "no file"}},
		{"the bottom missing behind an inner layer", put(put(good, "b-bottom.gbr", nil), "b-in1.gbr", gerberText("Copper,L2,Inr", "D11*\n"+flash(5, 5))), []string{"L3", "no file"}},
		{"the bottom missing, drills tell", put(put(good, "b-bottom.gbr", nil), "b.drl", append([]byte("M48\n; #@! TF.FileFunction,Plated,1,2,PTH\n"), good["b.drl"].Data[4:]...)), []string{"b.drl", "L2"}},
		{"two files for one layer", put(good, "b-top2.gbr", gerberText("Copper,L1,Top", "D11*\n"+flash(5, 5))), []string{"b-top.gbr", "b-top2.gbr", "two files"}},
		{"drill in inches read as millimetres", put(good, "b.drl", inch), []string{"b.drl", "inches"}},
		{"drill with the other zeros", put(good, "b.drl", []byte("M48\nMETRIC,LZ,000.000\nT1C0.800\nT2C0.300\n%\nT1\nX5000Y5000\nX15000Y5000\nT2\nX10000Y10000\nX10000Y12000\nM30\n")), []string{"b.drl", "read with"}},
		{"the bottom missing, its mask there", put(put(good, "b-bottom.gbr", nil), "b-mask.gbr", gerberText("Soldermask,Bot", "D11*\n"+flash(5, 5))), []string{"bottom", "b-mask.gbr"}},
		{"tool sizes in inches", put(good, "b.drl", []byte("M48\nMETRIC\nT1C0.0315\nT2C0.0118\n%\nG90\nT1\nX5.0Y5.0\nX15.0Y5.0\nT2\nX10.0Y10.0\nX10.0Y12.0\nM30\n")), []string{"b.drl", "tool sizes"}},
		{"drill shifted", put(good, "b.drl", shifted), []string{"b.drl", "shifted by -50.000,0.000 mm"}},
		{"garbage in a copper file", put(good, "b-top.gbr", gerberText("Copper,L1,Top", "D99*\n"+flash(1, 1))), []string{"b-top.gbr"}},
		{"a copper file that is no Gerber", put(good, "b-top.gbr", []byte{0, 1, 2}), []string{"L1", "b-top.gbr"}},
		{"layers lacking by the job file", put(good, "b.gbrjob", []byte(`{"GeneralSpecs":{"LayerNumber":4},"FilesAttributes":[{"Path":"b-in1.gbr","FileFunction":"Copper,L2,Inr"}]}`)), []string{"4 copper layers", "b-in1.gbr"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Read(c.set, "made", Options{})
			if err == nil {
				t.Fatal("no error")
			}
			if strings.ContainsAny(err.Error(), "\n\r") {
				t.Errorf("more than one line: %v", err)
			}
			for _, w := range c.want {
				if !strings.Contains(err.Error(), w) {
					t.Errorf("got %v, want the words %q", err, c.want)
				}
			}
		})
	}
	for _, name := range []string{"b-top.gbr", "b-bottom.gbr"} {
		b := mustRead(t, put(good, name, cut(name)), Options{})
		if !b.Partial || !hasDoubt(b, name, "cut off") {
			t.Errorf("%s cut off: partial %v, doubts %v", name, b.Partial, b.Doubts)
		}
	}
	b := mustRead(t, put(good, "b.drl", good["b.drl"].Data[:len(good["b.drl"].Data)-len("M30\n")]), Options{})
	if !b.Partial || !hasDoubt(b, "b.drl", "cut off") {
		t.Errorf("drill cut off: partial %v, doubts %v", b.Partial, b.Doubts)
	}
}

func TestDoubtfulInput(t *testing.T) {
	good := smallBoard()
	lands := "D13*\n"
	for x := 4.0; x < 10; x++ {
		lands += flash(x, 14)
	}
	end := func(name, plot string) []byte {
		return []byte(strings.TrimSuffix(string(good[name].Data), "M02*\n") + "%TD*%\n" + plot + "M02*\n")
	}
	stacked := put(put(good, "b-top.gbr", end("b-top.gbr", lands)), "b-bottom.gbr", end("b-bottom.gbr", lands))
	for _, c := range []struct {
		name string
		set  fstest.MapFS
		want []string
	}{
		{"no drill file", put(good, "b.drl", nil), []string{"no drill file"}},
		{"no profile", put(good, "b-profile.gbr", nil), []string{"no profile"}},
		{"an open outline", put(good, "b-profile.gbr", gerberText("Profile,NP", "D10*\n"+line(0, 0, 20, 0)+line(20, 0, 20, 16))), []string{"does not close"}},
		{"a gap in the outline", put(good, "b-profile.gbr", gerberText("Profile,NP", "D10*\n"+line(0, 0, 20, 0)+line(20, 0.1, 20, 16)+line(20, 16, 0, 16)+line(0, 16, 0, 0))), []string{"gaps"}},
		{"a listed file missing", put(good, "b.gbrjob", []byte(`{"GeneralSpecs":{"LayerNumber":2},"FilesAttributes":[{"Path":"b-mask.gbr","FileFunction":"SolderMask,Top"}]}`)), []string{"b-mask.gbr", "not there"}},
		{"a broken job file", put(good, "b.gbrjob", []byte(`{"GeneralSpecs":`)), []string{"b.gbrjob", "cannot be read"}},
		{"one drill file of two missing", stacked, []string{"6 of 8 lands", "no hole", "4.000,14.000"}},
		{"the bottom mask missing", put(good, "b-mask.gbr", gerberText("Soldermask,Top", "D11*\n"+flash(5, 5))), []string{"no solder mask file for the bottom"}},
		{"drills of another board", put(good, "b.drl", drillText("T1\nX1.3Y2.9\nX3.7Y8.1\nX18.2Y1.4\nX11.1Y14.7\n")), []string{"b.drl", "fall into no pad"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			if b := mustRead(t, c.set, Options{}); !hasDoubt(b, c.want...) {
				t.Errorf("doubts %v, want the words %q", b.Doubts, c.want)
			}
		})
	}
	// What the file leaves unsaid is settled by its pads.
	unsaid := put(good, "b.drl", []byte("M48\nMETRIC\nT1C0.800\nT2C0.300\n%\nT1\nX5000Y5000\nX15000Y5000\nT2\nX10000Y10000\nX10000Y12000\nM30\n"))
	if b := mustRead(t, unsaid, Options{}); len(b.Holes) != 4 || b.Holes[0].At.X != 5e6 || b.Holes[0].Diameter != 800_000 {
		t.Errorf("digits not said: holes %+v, doubts %v", b.Holes, b.Doubts)
	}
	if b := mustRead(t, good, Options{}); len(b.Doubts) > 0 || b.Partial {
		t.Errorf("the sound board has doubts: %v", b.Doubts)
	}
}

// packed zips a set of files.
func packed(t *testing.T, files map[string][]byte) []byte {
	t.Helper()
	var buf bytes.Buffer
	z := zip.NewWriter(&buf)
	for _, name := range sortedNames(files) {
		w, err := z.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		w.Write(files[name])
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

func sortedNames(files map[string][]byte) []string {
	set := fstest.MapFS{}
	for name := range files {
		set[strings.TrimLeft(strings.ReplaceAll(name, "..", "up"), "/")] = &fstest.MapFile{}
	}
	names := make([]string, 0, len(files))
	for name := range files {
		names = append(names, name)
	}
	for i := range names {
		for j := i + 1; j < len(names); j++ {
			if names[j] < names[i] {
				names[i], names[j] = names[j], names[i]
			}
		}
	}
	return names
}

func zipFiles(prefix string) map[string][]byte {
	out := map[string][]byte{}
	for name, f := range smallBoard() {
		out[prefix+name] = f.Data
	}
	return out
}

func TestZip(t *testing.T) {
	dir := t.TempDir()
	write := func(name string, data []byte) string {
		p := filepath.Join(dir, name)
		if err := os.WriteFile(p, data, 0o600); err != nil {
			t.Fatal(err)
		}
		return p
	}
	open := func(p string) (*board.Board, error) { return Open(context.Background(), p, Options{}, nil) }

	b, err := open(write("a.zip", packed(t, zipFiles("some/folder/"))))
	if err != nil || len(b.Layers) != 2 || len(b.Pads) != 6 || len(b.Holes) != 4 {
		t.Fatalf("zip of a folder: %v, %+v", err, b)
	}
	tricks := zipFiles("")
	tricks["../../escape.gbr"] = []byte("x")
	if b, err = open(write("tricks.zip", packed(t, tricks))); err != nil {
		t.Fatal(err)
	}
	seen := false
	for _, f := range b.Files {
		seen = seen || f.Path == "../../escape.gbr" && f.Role == ignored
	}
	if !seen {
		t.Errorf("the entry that leaves the archive is not ignored: %v", b.Files)
	}
	bomb := zipFiles("")
	bomb["big.gbr"] = make([]byte, 40<<20)
	if _, err = open(write("bomb.zip", packed(t, bomb))); err == nil || !strings.Contains(err.Error(), "big.gbr") {
		t.Errorf("a bomb: %v", err)
	}
	whole := packed(t, zipFiles(""))
	if _, err = open(write("cut.zip", whole[:len(whole)/2])); err == nil || !strings.Contains(err.Error(), "zip") {
		t.Errorf("half a zip: %v", err)
	}
	if _, err = open(write("text.gbr", []byte("hello"))); err == nil {
		t.Error("a text file opens as a board")
	}
	if _, err = open(filepath.Join(dir, "absent")); err == nil || !strings.Contains(err.Error(), "no such") {
		t.Errorf("an absent folder: %v", err)
	}
}

func TestZipBesideFiles(t *testing.T) {
	inside := packed(t, zipFiles(""))
	b := mustRead(t, put(smallBoard(), "b.zip", inside), Options{})
	left := false
	for _, f := range b.Files {
		left = left || f.Path == "b.zip" && f.Role == ignored && strings.Contains(f.Why, "left alone")
	}
	if !left || len(b.Layers) != 2 {
		t.Errorf("a zip beside its files: %v", b.Files)
	}
	alone := mustRead(t, fstest.MapFS{"b.zip": {Data: inside}, "notes.txt": {Data: []byte("hello")}}, Options{})
	if len(alone.Layers) != 2 || len(alone.Holes) != 4 {
		t.Errorf("a folder with one zip: %d layers, %d holes", len(alone.Layers), len(alone.Holes))
	}
	if _, err := Read(fstest.MapFS{"a.zip": {Data: inside}, "b.zip": {Data: inside}}, "two", Options{}); err == nil {
		t.Error("two zips alone: no error")
	}
}

func TestSubFolder(t *testing.T) {
	set := fstest.MapFS{}
	for name, f := range smallBoard() {
		if strings.HasSuffix(name, ".drl") {
			set["drill/"+name] = f
		} else {
			set["gerber/"+name] = f
		}
	}
	b := mustRead(t, set, Options{})
	if len(b.Layers) != 2 || len(b.Holes) != 4 || len(b.Doubts) > 0 {
		t.Errorf("%d layers, %d holes, doubts %v", len(b.Layers), len(b.Holes), b.Doubts)
	}
}
