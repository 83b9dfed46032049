package boardread

import (
	"archive/zip"
	"bytes"
	"context"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

// otherBoard is a sound board that is not smallBoard.
func otherBoard(prefix string) map[string][]byte {
	out := zipFiles(prefix)
	out[prefix+"b-top.gbr"] = bytes.Replace(out[prefix+"b-top.gbr"], []byte("X5000000Y12000000D03*"), []byte("X5000000Y11900000D03*"), 1)
	return out
}

func merged(sets ...map[string][]byte) map[string][]byte {
	out := map[string][]byte{}
	for _, s := range sets {
		maps.Copy(out, s)
	}
	return out
}

// TestHostileZips: whatever the archive, there is a board or one clear line,
// and memory stays bounded.
func TestHostileZips(t *testing.T) {
	dir := t.TempDir()
	raw := func(fill func(z *zip.Writer)) []byte {
		var buf bytes.Buffer
		z := zip.NewWriter(&buf)
		fill(z)
		if err := z.Close(); err != nil {
			t.Fatal(err)
		}
		return buf.Bytes()
	}
	addLink := func(z *zip.Writer, name, to string) {
		h := &zip.FileHeader{Name: name}
		h.SetMode(fs.ModeSymlink | 0o777)
		w, err := z.CreateHeader(h)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprint(w, to)
	}
	addAll := func(z *zip.Writer, files map[string][]byte) {
		for _, n := range sortedNames(files) {
			w, err := z.Create(n)
			if err != nil {
				t.Fatal(err)
			}
			w.Write(files[n])
		}
	}
	entries := 100_000
	if testing.Short() {
		entries = 3_000
	}
	inner := packed(t, zipFiles("gerber/"))
	bomb := raw(func(z *zip.Writer) { // no entry swells by itself so much as all do
		addAll(z, zipFiles(""))
		zeros := make([]byte, 1<<20)
		for i := range 80 {
			w, _ := z.Create(fmt.Sprintf("z%d.txt", i))
			w.Write(zeros)
		}
	})
	encrypted := packed(t, zipFiles(""))
	for i := 0; i+10 < len(encrypted); i++ { // the flag of every header, local and central
		switch string(encrypted[i : i+4]) {
		case "PK\x03\x04":
			encrypted[i+6] |= 1
		case "PK\x01\x02":
			encrypted[i+8] |= 1
		}
	}
	for _, c := range []struct {
		name string
		data []byte
		at   string   // behind the zip's own path
		want []string // of the error; none: a board
	}{
		{"links", raw(func(z *zip.Writer) { addAll(z, zipFiles("")); addLink(z, "b-mask.gbr", "/etc/passwd") }), "", nil},
		{"a link for the copper", raw(func(z *zip.Writer) {
			addAll(z, map[string][]byte{"b-bottom.gbr": zipFiles("")["b-bottom.gbr"]})
			addLink(z, "b-top.gbr", "b-bottom.gbr")
		}), "", []string{"L1", "no file"}},
		{"paths that leave", packed(t, merged(zipFiles(""), map[string][]byte{"../b-in.gbr": []byte("x"), "/etc/b-in.gbr": []byte("x"), `..\..\w.gbr`: []byte("x")})), "", nil},
		{"very many entries", raw(func(z *zip.Writer) {
			for i := range entries {
				z.Create(fmt.Sprintf("e%d.gbr", i))
			}
		}), "", []string{fmt.Sprintf("%d entries", entries)}},
		{"a bomb of many entries", bomb, "", []string{"swells"}},
		{"encrypted", encrypted, "", []string{"encrypted"}},
		{"a zip in a zip", packed(t, map[string][]byte{"gerber.zip": inner, "read me.txt": []byte("hello")}), "", nil},
		{"a zip in a zip in a zip", packed(t, map[string][]byte{"b.zip": packed(t, map[string][]byte{"a.zip": inner})}), "", []string{"no copper layer"}},
		{"two zips in a zip", packed(t, map[string][]byte{"one.zip": inner, "two.zip": inner}), "", []string{"one.zip", "two.zip", "name the folder or zip"}},
		{"one of two zips", packed(t, map[string][]byte{"one.zip": inner, "two.zip": inner}), "/two.zip", nil},
		{"several boards", packed(t, merged(zipFiles("main/"), otherBoard("panel/"))), "", []string{"several boards", "boards.zip/main", "boards.zip/panel"}},
		{"one of several boards", packed(t, merged(zipFiles("main/"), otherBoard("panel/"))), "/panel", nil},
		{"no such board in it", packed(t, merged(zipFiles("main/"), otherBoard("panel/"))), "/frame", []string{"no folder or zip frame", "main, panel"}},
		{"the same board twice", packed(t, merged(zipFiles("main/"), zipFiles("again/"))), "", nil},
		{"a board two folders down", packed(t, merged(zipFiles("fab/gerber/"), map[string][]byte{"read me.txt": []byte("hello"), "doc/a/b.txt": []byte("x")})), "", []string{"fab/gerber"}},
		{"named two folders down", packed(t, merged(zipFiles("fab/gerber/"), map[string][]byte{"read me.txt": []byte("hello")})), "/fab/gerber", nil},
		{"names that differ in capitals", packed(t, merged(zipFiles(""), map[string][]byte{"B-Top.gbr": otherBoard("")["b-top.gbr"]})), "", []string{"b-top.gbr", "B-Top.gbr", "two files"}},
		{"the same file in capitals", packed(t, merged(zipFiles(""), map[string][]byte{"B-Top.gbr": zipFiles("")["b-top.gbr"]})), "", nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := filepath.Join(dir, "boards.zip")
			if err := os.WriteFile(p, c.data, 0o600); err != nil {
				t.Fatal(err)
			}
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			b, err := Open(context.Background(), p+c.at, Options{}, nil)
			runtime.ReadMemStats(&after)
			if grown := (after.TotalAlloc - before.TotalAlloc) >> 20; grown > 600 {
				t.Errorf("%d MB taken for a zip of %d kB", grown, len(c.data)>>10)
			}
			switch {
			case len(c.want) == 0 && err != nil:
				t.Errorf("error %v", err)
			case len(c.want) == 0 && (len(b.Layers) != 2 || len(b.Holes) != 4 || len(b.Doubts) > 0):
				t.Errorf("%d layers, %d holes, doubts %v", len(b.Layers), len(b.Holes), b.Doubts)
			case len(c.want) > 0 && err == nil:
				t.Error("no error")
			case len(c.want) > 0:
				for _, w := range c.want {
					if !strings.Contains(err.Error(), w) || strings.Contains(err.Error(), "\n") {
						t.Errorf("error %q, want %q in one line", err, w)
					}
				}
			}
		})
	}
}

// A folder with the boards in sub-folders says which to choose, too.
func TestSeveralInFolder(t *testing.T) {
	dir := t.TempDir()
	for name, data := range merged(zipFiles("one/"), otherBoard("two/")) {
		if err := os.MkdirAll(filepath.Join(dir, filepath.Dir(name)), 0o700); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := Open(context.Background(), dir, Options{}, nil); err == nil || !strings.Contains(err.Error(), dir+"/one or "+dir+"/two") {
		t.Errorf("two boards: %v", err)
	}
	if b, err := Open(context.Background(), dir+"/two", Options{}, nil); err != nil || len(b.Doubts) > 0 {
		t.Errorf("one of two: %v", err)
	}
	// A link to a folder above is a folder like any other, and ends.
	if err := os.Symlink(dir, filepath.Join(dir, "two", "loop")); err != nil {
		t.Skip("no links here")
	}
	if b, err := Open(context.Background(), dir+"/two", Options{}, nil); err != nil || len(b.Layers) != 2 {
		t.Errorf("with a link in a circle: %v", err)
	}
}
