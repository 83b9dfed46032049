package web

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"net/http"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/check"
	"ohmward/internal/record"
	"ohmward/unit"
)

// TestKilledServers: two servers on one folder are killed outright, any number of
// times, while acts are posted to both, each takes the case over from the other, and
// a command reads it: the case can be read at every moment, and every reading that
// was answered with 200 is in the journal's line of descent.
func TestKilledServers(t *testing.T) {
	kills := check.Draws(t, 4, 12, 100)
	if check.All() {
		kills = 500
	}
	dir := t.TempDir()
	k := &killing{program: built(t), dir: dir}
	beside := serveShelf(t, openShelf(t, dir))
	k.id = readTwice(t, beside)
	beside.stop()
	k.file = filepath.Join(dir, "cases", k.id, "case.toml")
	endReads := k.readAll(t)
	var both sync.WaitGroup
	for range 2 {
		both.Go(func() {
			for k.kills.Add(1) <= int64(kills) && !t.Failed() {
				k.once(t)
			}
		})
	}
	both.Wait()
	endReads()
	k.lost(t)
	t.Logf("%d kills: %d acts answered, %d of them readings, none lost; read %d times, by the command %d times",
		kills, len(k.granted), k.values(), k.reads.Load(), k.commands.Load())
	if len(k.granted) < kills {
		t.Errorf("only %d acts were answered", len(k.granted))
	}
}

// killing is what is done to one case.
type killing struct {
	program, dir, id, file string

	kills, n, reads, commands atomic.Int64
	mu                        sync.Mutex
	granted                   []answer.Act
}

// once starts a server, posts acts to it and kills it a while after the first was
// answered.
func (k *killing) once(t *testing.T) {
	url, kill, err := k.start()
	if err != nil {
		t.Error(err)
		return
	}
	defer kill()
	var die sync.Once
	for {
		a, err := k.post(url)
		if err != nil {
			return // it is gone
		}
		if a == nil {
			continue
		}
		k.mu.Lock()
		k.granted = append(k.granted, *a)
		k.mu.Unlock()
		die.Do(func() { time.AfterFunc(time.Duration(rand.IntN(300))*time.Millisecond, kill) })
	}
}

// start starts a server that can be killed from any goroutine.
func (k *killing) start() (url string, kill func(), err error) {
	c := exec.Command(k.program, "bench", "--no-open", "--port", "0", "--cases", k.dir)
	out, err := c.StdoutPipe()
	if err != nil {
		return "", nil, err
	}
	if err := c.Start(); err != nil {
		return "", nil, err
	}
	var once sync.Once
	kill = func() {
		once.Do(func() {
			_ = c.Process.Kill()
			_ = c.Wait()
		})
	}
	line := make([]byte, 200)
	n, err := out.Read(line)
	if err != nil {
		kill()
		return "", nil, fmt.Errorf("no address from the server: %w", err)
	}
	_, url, _ = strings.Cut(strings.TrimSpace(string(line[:n])), " is at ")
	url, _, _ = strings.Cut(url, "\n")
	return url, kill, nil
}

// post posts one act to where the case stands, and gives it where it was answered
// with 200 and confirmed something. Its error is that the server is gone.
func (k *killing) post(url string) (*answer.Act, error) {
	var v answer.View
	if _, err := exchange(url+"api/cases/"+k.id+"/view", nil, &v); err != nil {
		return nil, err
	}
	offered := func(do string) bool {
		return slices.ContainsFunc(v.Card.Doing, func(o answer.Option) bool { return o.Act.Do == do })
	}
	a, counts := answer.Act{Revision: v.Revision}, false
	switch held := offered("take-over"); {
	case v.Busy != "", held && rand.IntN(8) > 0: // the one that has the case is let work a while
		time.Sleep(50 * time.Millisecond)
		return nil, nil
	case held:
		a.Do = "take-over"
	case offered("keep-ours") && rand.IntN(2) == 0: // a kill cut an act off beside what this one has
		a.Do = "keep-ours"
	case offered("keep-file"):
		a.Do = "keep-file"
	default:
		a, counts = k.next(&v), true
	}
	status, err := exchange(url+"api/cases/"+k.id+"/act", a, nil)
	if err != nil || status != http.StatusOK || !counts {
		return nil, err
	}
	return &a, nil
}

// next is a reading, each of its own value, or an act that keeps the case small.
func (k *killing) next(v *answer.View) answer.Act {
	text := fmt.Sprintf("%.4fm", 18+float64(k.n.Add(1))*1e-4)
	a := answer.Act{Revision: v.Revision}
	few := len(v.Readings) < 5
	switch r := rand.IntN(10); {
	case r == 0 && v.CanUndo:
		a.Do = "undo"
	case few && v.Step == "read", few && v.Step == "mend":
		a.Do, a.Text = "value", text
	case r < 3 && !few:
		a.Do = "drop"
	default:
		a.Do, a.Text, a.N = "edit", text, rand.IntN(max(1, len(v.Readings)))
	}
	return a
}

// exchange asks as the page does, and decodes an answer of 200.
func exchange(url string, body, into any) (status int, err error) {
	method, text := "GET", []byte(nil)
	if body != nil {
		if text, err = json.Marshal(body); err != nil {
			return 0, err
		}
		method = "POST"
	}
	r, err := http.NewRequest(method, url, bytes.NewReader(text))
	if err != nil {
		return 0, err
	}
	r.Header.Set("Content-Type", "application/json")
	at := r.URL.Scheme + "://" + r.URL.Host
	r.Header.Set("Origin", at)
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	got, err := http.DefaultClient.Do(r)
	if err != nil {
		return 0, err
	}
	defer got.Body.Close()
	if into != nil && got.StatusCode == http.StatusOK {
		err = json.NewDecoder(got.Body).Decode(into)
	}
	return got.StatusCode, err
}

// readAll reads the case over and over, as a program does and as the command does,
// until end; a read that fails fails the test.
func (k *killing) readAll(t *testing.T) (end func()) {
	stop, readers := make(chan struct{}), sync.WaitGroup{}
	each := func(count *atomic.Int64, read func() error) {
		readers.Go(func() {
			for {
				select {
				case <-stop:
					return
				default:
				}
				if err := read(); err != nil {
					t.Error("cannot be read: ", err)
					return
				}
				count.Add(1)
			}
		})
	}
	each(&k.reads, func() error {
		time.Sleep(time.Millisecond) // the machine has other work
		_, err := record.Read(k.file)
		return err
	})
	each(&k.commands, func() error {
		out, err := exec.Command(k.program, "locate", k.file, "--json").CombinedOutput()
		var ended *exec.ExitError
		if errors.As(err, &ended) && ended.ExitCode() == 3 { // readings that disagree
			return nil
		}
		if err != nil {
			err = fmt.Errorf("%w: %.400s", err, out)
		}
		return err
	})
	return func() { close(stop); readers.Wait() }
}

func (k *killing) values() (n int) {
	for _, a := range k.granted {
		if a.Text != "" {
			n++
		}
	}
	return n
}

// lost fails where an answered act is not among those that led to the file's state,
// or where its revision does not hold its value.
func (k *killing) lost(t *testing.T) {
	t.Helper()
	of, last := map[string]*record.Revision{}, ""
	for r, err := range record.ReadJournal(k.file + record.JournalEnding) {
		if err != nil {
			t.Fatal(err)
		}
		of[r.ID], last = r, r.ID
	}
	kept := map[string]*record.Revision{}
	for id := last; id != ""; id = of[id].Parent {
		kept[string(of[id].Act)] = of[id]
	}
	for _, a := range k.granted {
		told, err := json.Marshal(a)
		if err != nil {
			t.Fatal(err)
		}
		r := kept[string(told)]
		if r == nil {
			t.Errorf("%s was answered with 200, and is lost", told)
			continue
		}
		if a.Text != "" && !holdsReading(t, r, a.Text) {
			t.Errorf("%s: its revision holds no such reading", told)
		}
	}
}

func holdsReading(t *testing.T, r *record.Revision, text string) bool {
	t.Helper()
	want, err := unit.ParseReading(text)
	if err != nil {
		t.Fatal(err)
	}
	c, err := record.Decode("case.toml", []byte(r.Text))
	if err != nil {
		t.Fatal(err)
	}
	return slices.ContainsFunc(c.Readings, func(r record.Reading) bool {
		return slices.ContainsFunc(append(r.Touches, r.Ohms), func(o unit.Resistance) bool {
			return check.Near(float64(o), float64(want), check.Tol{Rel: 1e-9})
		})
	})
}
