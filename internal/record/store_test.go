package record

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"ohmward/unit"
)

// bench is a writer with a name.
func bench(name string) Writer { return Writer{Bench: name, Now: time.Now} }

func create(path string, c *Case) error { return Create(path, c, "new", bench("test")) }

const written = `# unit 17, bench 2
board = "demo"   # the logger
nets = ["+3V3", "GND"]

[bench]
cautions = true
revision = 3
unit = "17"

# by hand, cold
[[reading]]
from = "C9.1" # left
to = "C9.2"
ohms = "18.7m"   # steady

[[finding]]
done = "looked"
place = "L1@10,10"
note = "nothing, twice"
seen = "nothing"

# end of page
`

// numbered says of its finding after which reading it was made.
var numbered = strings.Replace(written, "done = ", "after_reading = 1\ndone = ", 1)

// opened writes a case file and opens it.
func opened(t *testing.T, name, text string) (string, *Store, *Case) {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	s, c, err := OpenStore(path, bench("one"))
	if err != nil {
		t.Fatal(err)
	}
	return path, s, c
}

func commit(t *testing.T, s *Store, c *Case, change func(*Case)) *Case {
	t.Helper()
	next := *c
	steps := *c.Steps
	next.Steps = &steps
	next.Readings = append([]Reading(nil), c.Readings...)
	change(&next)
	if err := s.Commit(&next, "test"); err != nil {
		t.Fatal(err)
	}
	return &next
}

func content(t *testing.T, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// An act changes its own keys, and nothing else of the text.
func TestOwnKeys(t *testing.T) {
	path, s, c := opened(t, "case.toml", written)
	c = commit(t, s, c, func(c *Case) {
		c.Steps.Revision++
		c.Readings = append(c.Readings, Reading{From: "C1.1", To: "C1.2", Ohms: 0.02})
	})
	want := strings.Replace(written, "revision = 3", "revision = 4", 1)
	want = strings.Replace(want, "ohms = \"18.7m\"   # steady\n",
		"ohms = \"18.7m\"   # steady\n\n[[reading]]\nfrom = \"C1.1\"\nto = \"C1.2\"\nohms = 0.02\n", 1)
	// A finding without a number came after all readings: now it says which.
	want = strings.Replace(want, "seen = \"nothing\"\n", "seen = \"nothing\"\nafter_reading = 1\n", 1)
	if got := content(t, path); got != want {
		t.Errorf("got:\n%s\nwant:\n%s", got, want)
	}
	if info, err := os.Stat(path); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("mode %v, %v", info.Mode(), err)
	}
	c = commit(t, s, c, func(c *Case) { c.Readings[0].Ohms, c.Steps.Revision = 0.019, 5 })
	if got := content(t, path); !strings.Contains(got, "ohms = 0.019   # steady\n") {
		t.Errorf("the changed value lost its comment:\n%s", got)
	}
	commit(t, s, c, func(c *Case) { c.Readings, c.Findings = nil, nil })
	got := content(t, path)
	for _, comment := range []string{"# unit 17, bench 2", "# the logger", "# by hand, cold", "# end of page"} {
		if !strings.Contains(got, comment) {
			t.Errorf("%q is lost:\n%s", comment, got)
		}
	}
}

// Forms that a table cannot be edited in lose no comment, and a JSON file keeps its
// order and its values as they were written.
func TestOtherForms(t *testing.T) {
	path, s, c := opened(t, "inline.toml", "# why\nboard = \"demo\"\nnets = [\"A\", \"B\"]\n"+
		"meter.profile = \"x\" # dotted\n# all\nbench = { revision = 1 }\n")
	commit(t, s, c, func(c *Case) { c.Steps.Revision = 2 })
	if got := content(t, path); !strings.Contains(got, "# why\n") || !strings.Contains(got, "# all\n") {
		t.Errorf("a comment is lost:\n%s", got)
	}
	path, s, c = opened(t, "case.json", `{"nets": ["A", "B"], "bench": {"unit": "17", "revision": 1},
"reading": [{"to": "C9.2", "ohms": "18.7m", "from": "C9.1"}], "board": "demo"}`)
	commit(t, s, c, func(c *Case) { c.Steps.Revision = 2; c.Note = "warm" })
	got := strings.Join(strings.Fields(content(t, path)), "")
	want := `{"nets":["A","B"],"bench":{"unit":"17","revision":2},` +
		`"reading":[{"to":"C9.2","ohms":"18.7m","from":"C9.1"}],"board":"demo","note":"warm"}`
	if got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

// A link to a case file stays a link.
func TestLinkStays(t *testing.T) {
	path, _, _ := opened(t, "case.toml", written)
	link := filepath.Join(t.TempDir(), "unit.toml")
	if err := os.Symlink(path, link); err != nil {
		t.Skip("no links on this system: ", err)
	}
	s, c, err := OpenStore(link, bench("two"))
	if err != nil {
		t.Fatal(err)
	}
	commit(t, s, c, func(c *Case) { c.Steps.Revision = 4 })
	if info, err := os.Lstat(link); err != nil || info.Mode()&os.ModeSymlink == 0 {
		t.Errorf("the link is gone: %v, %v", info.Mode(), err)
	}
	if !strings.Contains(content(t, path), "revision = 4") {
		t.Error("the file behind the link is the old one")
	}
}

// A revision that the journal has and the file has not is carried out; a line that
// was cut off was never confirmed; a file restored by hand stays as it is.
func TestCutOff(t *testing.T) {
	path, s, c := opened(t, "case.toml", written)
	commit(t, s, c, func(c *Case) { c.Steps.Revision = 4 })
	after := content(t, path)
	old := time.Now().Add(-time.Hour)
	restore := func(when time.Time) {
		if err := os.WriteFile(path, []byte(written), 0o600); err != nil {
			t.Fatal(err)
		}
		if err := os.Chtimes(path, when, when); err != nil {
			t.Fatal(err)
		}
	}
	restore(old)
	if _, c, err := OpenStore(path, bench("two")); err != nil || c.Steps.Revision != 4 || content(t, path) != after {
		t.Errorf("the confirmed revision was not carried out: %v", err)
	}
	journal := content(t, path+JournalEnding)
	if err := os.WriteFile(path+JournalEnding, []byte(journal+`{"id":"12`), 0o600); err != nil {
		t.Fatal(err)
	}
	s, c, err := OpenStore(path, bench("three"))
	if err != nil || c.Steps.Revision != 4 {
		t.Fatal(err)
	}
	commit(t, s, c, func(c *Case) { c.Steps.Revision = 5 })
	for _, err := range ReadJournal(path + JournalEnding) {
		if err != nil {
			t.Errorf("the cut-off line was left in the way: %v", err)
		}
	}
	restore(time.Now().Add(time.Minute))
	if _, c, err := OpenStore(path, bench("four")); err != nil || c.Steps.Revision != 3 {
		t.Errorf("what was restored by hand was overwritten: %v", err)
	}
}

// One bench holds a case; another may take it over, and the first is then told.
func TestLease(t *testing.T) {
	path, one, c := opened(t, "case.toml", written)
	now := time.Now()
	clock := func() time.Time { return now }
	one.writer.Now = clock
	two, _, err := OpenStore(path, Writer{Bench: "two", Now: clock})
	if err != nil {
		t.Fatal(err)
	}
	held := func(err error) bool {
		var h *HeldError
		return errors.As(err, &h)
	}
	if err := one.Hold(false); err != nil {
		t.Fatal(err)
	}
	if err := two.Hold(false); !held(err) {
		t.Errorf("two benches hold it: %v", err)
	}
	if err := two.Commit(c, "x"); !held(err) {
		t.Errorf("written beside the one that holds it: %v", err)
	}
	if err := two.Hold(true); err != nil {
		t.Fatal(err)
	}
	if err := one.Commit(c, "x"); !held(err) {
		t.Errorf("written after it was taken over: %v", err)
	}
	ended := exec.Command(os.Args[0], "-test.run=^$")
	if err := ended.Run(); err != nil {
		t.Fatal(err)
	}
	host, err := os.Hostname()
	if err != nil {
		t.Fatal(err)
	}
	if err := writeLease(path, Lease{"killed", host, ended.Process.Pid, now.Add(leaseTime)}); err != nil {
		t.Fatal(err)
	}
	if err := one.Hold(false); err != nil {
		t.Errorf("the lease of a program that was killed binds: %v", err)
	}
	if err := writeLease(path, Lease{"far", host + "-2", ended.Process.Pid, now.Add(leaseTime)}); err != nil {
		t.Fatal(err)
	}
	if err := one.Hold(false); !held(err) {
		t.Errorf("the lease of a bench on another machine does not bind: %v", err)
	}
	now = now.Add(leaseTime + time.Second)
	if err := one.Hold(false); err != nil {
		t.Errorf("a lease that ran out still binds: %v", err)
	}
	if err := one.Release(); err != nil {
		t.Fatal(err)
	}
	if err := two.Hold(false); err != nil {
		t.Errorf("a lease given back still binds: %v", err)
	}
}

// Any number of programs may add to one case at once: no reading is lost.
func TestWritersAtOnce(t *testing.T) {
	path, _, _ := opened(t, "case.toml", written)
	const writers, each = 6, 8
	var wait sync.WaitGroup
	for w := range writers {
		wait.Go(func() {
			for n := range each {
				_, err := Update(path, bench(string(rune('a'+w))), "add", func(c *Case) error {
					c.Readings = append(c.Readings, Reading{From: "C1.1", To: "C1.2",
						Ohms: unit.Resistance(float64(w*each+n+1) / 1024)})
					return nil
				})
				if err != nil {
					t.Error(err)
				}
			}
		})
	}
	wait.Wait()
	c, err := Read(path)
	if err != nil {
		t.Fatal(err)
	}
	seen := map[unit.Resistance]bool{}
	for _, r := range c.Readings {
		seen[r.Ohms] = true
	}
	if len(c.Readings) != writers*each+1 || len(seen) != len(c.Readings) {
		t.Errorf("%d readings, %d different, of %d", len(c.Readings), len(seen), writers*each+1)
	}
}

// FuzzRevise: whatever a case file looks like, a change to it keeps its comments and
// says what was meant.
func FuzzRevise(f *testing.F) {
	f.Add(written, 1)
	f.Add("board = 'demo'\nnets = ['A', \"B\"] # x\nmeter.tip_mm = 1\n", 2)
	f.Add("note = \"\"\"a\n[b] # no comment\n\"\"\"\nboard = \"demo\"\nnets = [\n 'A', # one\n 'B',\n]\r\n", 0)
	f.Fuzz(func(t *testing.T, text string, drop int) {
		c, err := Decode("x.toml", []byte(text))
		if err != nil {
			return
		}
		blocks, tail := splitTOML(text)
		if got := joinTOML(blocks, tail); string(got) != text {
			t.Fatalf("taken apart and put together: %q", got)
		}
		next := *c
		next.Note = "changed"
		next.Readings = append([]Reading{{From: "P1", To: "P2", Ohms: 1}}, c.Readings[:len(c.Readings)/2]...)
		next.Findings = nil
		whole := tomlText(&next)
		if !means("x.toml", whole, whole) {
			return
		}
		got := revise("x.toml", []byte(text), whole, &next)
		if !means("x.toml", got, whole) {
			t.Fatalf("says something else:\n%s", got)
		}
	})
}
