package session

import (
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/record"
)

// readsBack fails where the session's case file cannot be read, or holds
// another revision than was answered.
func readsBack(t *testing.T, j *Session, after answer.Act) {
	t.Helper()
	j.mu.Lock()
	file, revision := j.c.File, j.c.Steps.Revision
	j.mu.Unlock()
	c, err := record.Read(file)
	if err != nil {
		t.Fatalf("after %+v: %v", after, err)
	}
	if c.Steps == nil || c.Steps.Revision != revision {
		t.Fatalf("after %+v the file stands at another revision than %d", after, revision)
	}
}

// oddValues are what instruments send and people mistype, among them numbers
// beyond what a case file holds.
var oddValues = []string{
	"18.7m", "18.7 18.9 18.6m", "OL", "9.9E37", "9.91E37", "-9.9E37", "1e13", "2000 GΩ", "-1500", "-1e10", "1e-30", "0", "1e300", "NaN", "∞", "\x00", "7,5",
}

// TestActsReadBack: whatever an act was granted reads back from the case file,
// with any value, and what is refused changes nothing.
func TestActsReadBack(t *testing.T) {
	j := begun(t, newTestShelf(t, t.TempDir()))
	must(t, j, answer.Act{Do: "value", Text: "18.7m"})
	granted := map[string]int{}
	values := oddValues
	if testing.Short() {
		values = values[:5]
	}
	for _, do := range []string{"value", "edit", "again", "read", "mend", "read", "assume", "rotate", "polarity"} {
		for _, text := range values {
			a := answer.Act{Do: do, Text: text, N: 0, Place: "noise", Revision: settled(t, j).Revision}
			if err := j.Do(a); err == nil {
				granted[do]++
			}
			settled(t, j)
			readsBack(t, j, a)
		}
	}
	for _, do := range []string{"value", "edit", "read", "mend", "rotate"} {
		if granted[do] == 0 {
			t.Errorf("no act %q was granted at all", do)
		}
	}
}

// FuzzActs: any act with any values leaves a case file that reads back.
func FuzzActs(f *testing.F) {
	if testing.Short() {
		f.Skip("its values are in TestActsReadBack, too: left out of -short")
	}
	for _, text := range oddValues {
		f.Add("value", text, "", "", 0)
		f.Add("edit", text, "", "", 0)
	}
	for _, do := range slices.Sorted(maps.Keys(actions)) { // every act there is
		f.Add(do, "18.7m", "", "", 0)
	}
	f.Add("again", "", "", "", 0)
	f.Add("read", "", "", "", 0)
	f.Add("drop", "", "", "", 0)
	f.Add("assume", "35um", "copper", "", 0)
	f.Add("outcome", "open", "", "", 0)
	f.Add("outcome", "bridge", "", "", 0)
	f.Add("saw", "bridge", "", "", 0)
	f.Add("seen-at", "", "L1@2,2", "", 0)
	f.Add("seen-what", "part", "", "", 0)
	f.Add("see-again", "", "", "", 0)
	f.Add("refit", "", "", "", 0)
	f.Add("leave-off", "", "", "", 0)
	f.Add("close", "undone", "", "", 0)
	f.Add("rotate", "", "", "", 3)
	f.Add("polarity", "GND", "", "", 0)
	f.Add("meter", "TCPIP0::192.0.2.7::5025::SOCKET", "", "", 0)
	for _, nets := range []string{"GND,+3V3", "+3V3,GND", "GND,GND", "GND", "GND,+3V3,NRST", ",", "GND,no such net"} {
		f.Add("nets", "", "", nets, 0)
	}
	f.Add("value", "18.7m", "", "GND,+3V3", 0)
	var j *Session
	dir := f.TempDir()
	f.Fuzz(func(t *testing.T, do, text, place, nets string, n int) {
		if j == nil { // one case for the whole worker: acts build on one another
			s, err := OpenFolder(dir, FolderOptions{Pace: time.Millisecond})
			if err != nil {
				t.Fatal(err)
			}
			j = begun(t, s)
		}
		a := answer.Act{Do: do, Text: text, Place: place, N: n, Revision: settled(t, j).Revision}
		if nets != "" {
			a.Nets = strings.Split(nets, ",")
		}
		_ = j.Do(a) // refused or granted: the file reads back
		v := settled(t, j)
		readsBack(t, j, a)
		for len(v.Readings) > 6 && v.CanUndo { // so that no case grows without bound
			if err := j.Do(answer.Act{Do: "undo", Revision: v.Revision}); err != nil {
				break
			}
			v = settled(t, j)
		}
	})
}
