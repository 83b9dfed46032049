package web

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"net/http"
	"os"
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
// a command reads it: the case can be read at every moment, and every act that was
// answered with 200 is kept. Kept is what led to what the file says, and what stands
// in the journal as a branch that somebody settled on that way: shown as a conflict,
// and gone on from or overruled by a press. What is nowhere, or only hangs beside, is
// lost; so is what was overruled without a press.
func TestKilledServers(t *testing.T) {
	if testing.Short() {
		t.Skip("servers are killed and started anew: ten seconds: left out of -short")
	}
	kills := 24
	if check.All() {
		kills = 500
	}
	dir := t.TempDir()
	k := &killing{program: built(t), dir: dir}
	beside := serveShelf(t, openShelf(t, dir))
	k.id = readTwice(t, beside)
	beside.stop()
	k.file = filepath.Join(dir, "cases", k.id, "case.toml")
	var both sync.WaitGroup
	for range 2 {
		both.Go(func() {
			for k.kills.Add(1) <= int64(kills) && !t.Failed() {
				k.once(t)
			}
		})
	}
	both.Wait()
	lost := k.lost(t)
	t.Logf("%d kills: %d acts answered, %d of them readings, %d lost; %d conflicts overruled; read %d times, "+
		"by the command %d times", kills, len(k.granted), k.values(), lost, k.overruled.Load(), k.reads.Load(),
		k.commands.Load())
	if len(k.granted) < kills {
		t.Errorf("only %d acts were answered", len(k.granted))
	}
}

// killing is what is done to one case.
type killing struct {
	program, dir, id, file string

	kills, n, reads, commands, overruled atomic.Int64
	mu                                   sync.Mutex
	granted                              []answer.Act
}

// once starts a server and posts an act to each view that it shows, as a page does,
// until it is killed: in the middle of an act, once a few were answered. Meanwhile
// the command reads the case.
func (k *killing) once(t *testing.T) {
	url, kill, err := k.start()
	if err != nil {
		t.Error(err)
		return
	}
	defer kill()
	var readers sync.WaitGroup
	defer readers.Wait()
	events, err := http.Get(url + "api/cases/" + k.id + "/events")
	if err != nil {
		t.Error("no events: ", err)
		return
	}
	defer events.Body.Close()
	left, done := 1+rand.IntN(3), 0
	lines := bufio.NewReader(events.Body)
	// A bench that is shown nothing new waits for another hand; so may that one for it.
	// It is killed as well, which decides nothing of what was answered.
	idle := time.AfterFunc(unmoved, kill)
	defer idle.Stop()
	for {
		v, err := nextView(lines)
		if err != nil {
			return // it is gone
		}
		idle.Reset(unmoved)
		if v.Revision <= done { // of before the last act
			continue
		}
		began := time.Now()
		a, err := k.post(t, url, v)
		if err != nil {
			return
		}
		if a == nil {
			continue
		}
		done = v.Revision
		k.mu.Lock()
		k.granted = append(k.granted, *a)
		k.mu.Unlock()
		switch left--; left {
		case 0: // somewhere in the time that an act takes
			time.AfterFunc(rand.N(time.Since(began)+1), kill)
		default:
			readers.Go(func() { k.locate(t) })
		}
	}
}

// unmoved is how long a bench may show nothing new before it is killed.
const unmoved = 5 * time.Second

// nextView is the next view of a stream of events.
func nextView(lines *bufio.Reader) (*answer.View, error) {
	for isView := false; ; {
		line, err := lines.ReadBytes('\n')
		if err != nil {
			return nil, err
		}
		data, isData := bytes.CutPrefix(line, []byte("data: "))
		switch {
		case isData && isView:
			v := &answer.View{}
			return v, json.Unmarshal(data, v)
		case !isData:
			isView = string(line) == "event: view\n"
		}
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
// with 200 and confirmed something. The case is read until the answer is there. Its
// error is that the server is gone.
func (k *killing) post(t *testing.T, url string, v *answer.View) (*answer.Act, error) {
	offered := func(do string) bool {
		return slices.ContainsFunc(v.Card.Doing, func(o answer.Option) bool { return o.Act.Do == do })
	}
	a, counts := answer.Act{Revision: v.Revision}, false
	switch held := offered("take-over"); {
	case v.Busy != "", held && rand.IntN(2) == 0: // the one that has the case is let work on
		return nil, nil
	case held:
		a.Do = "take-over"
	case offered("keep-ours") && rand.IntN(2) == 0:
		k.overruled.Add(1) // answered or not
		a.Do = "keep-ours"
	case offered("keep-file"):
		a.Do = "keep-file"
	default:
		a, counts = k.next(v), true
	}
	answered := make(chan struct{})
	var reader sync.WaitGroup
	reader.Go(func() { k.read(t, answered) })
	status, err := exchange(url+"api/cases/"+k.id+"/act", a, nil)
	close(answered)
	reader.Wait()
	if err != nil || status != http.StatusOK || !counts {
		return nil, err
	}
	return &a, nil
}

// next is a reading, each of its own value, or an act that keeps the case small. The
// value has its sign: of a four-wire reading a page asks for it, and confirms nothing
// until that is answered.
func (k *killing) next(v *answer.View) answer.Act {
	text := fmt.Sprintf("+%.4fm", 18+float64(k.n.Add(1))*1e-4)
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

// read reads the case as a program does, until the end; a read that fails fails the
// test.
func (k *killing) read(t *testing.T, end <-chan struct{}) {
	for range 200 {
		select {
		case <-end:
			return
		default:
		}
		if _, err := record.Read(k.file); err != nil {
			t.Error("cannot be read: ", err)
			return
		}
		k.reads.Add(1)
	}
}

// locate reads the case as the command does.
func (k *killing) locate(t *testing.T) {
	out, err := exec.Command(k.program, "locate", k.file, "--json").CombinedOutput()
	var ended *exec.ExitError
	if errors.As(err, &ended) && ended.ExitCode() == 3 { // readings that disagree
		err = nil
	}
	if err != nil {
		t.Errorf("cannot be read: %v: %.400s", err, out)
	}
	k.commands.Add(1)
}

func (k *killing) values() (n int) {
	for _, a := range k.granted {
		if a.Text != "" {
			n++
		}
	}
	return n
}

// lost fails where an answered act is not kept (see TestKilledServers), or where its
// revision does not hold its value, and gives how many are not.
func (k *killing) lost(t *testing.T) (lost int) {
	t.Helper()
	kept, overruled := k.kept(t)
	for _, a := range k.granted {
		told, err := json.Marshal(a)
		if err != nil {
			t.Fatal(err)
		}
		switch r := kept[string(told)]; {
		case r == nil:
			lost++
			t.Errorf("%s was answered with 200, and is lost", told)
		case a.Text != "" && !holdsReading(t, r, a.Text):
			lost++
			t.Errorf("%s: its revision holds no such reading", told)
		}
	}
	if pressed := k.overruled.Load(); overruled > pressed {
		t.Errorf("%d conflicts were overruled by %d presses", overruled, pressed)
	}
	return lost
}

// kept gives the revisions that are kept, by their act, and how many conflicts were
// overruled; what the last kill cut off is carried out first.
func (k *killing) kept(t *testing.T) (kept map[string]*record.Revision, overruled int64) {
	t.Helper()
	if _, _, err := record.OpenStore(k.file, record.Writer{Bench: "judge", Now: time.Now}); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(k.file)
	if err != nil {
		t.Fatal(err)
	}
	of, head := map[string][]*record.Revision{}, ""
	for r, err := range record.ReadJournal(k.file + record.JournalEnding) {
		if err != nil {
			t.Fatal(err)
		}
		if of[r.ID] = append(of[r.ID], r); r.Text == string(text) {
			head = r.ID
		}
		if string(r.Act) == `"kept"` {
			overruled++
		}
	}
	kept = map[string]*record.Revision{}
	for next := []string{head}; len(next) > 0; next = next[1:] {
		for _, r := range of[next[0]] { // lines of one parent and text are one revision
			kept[string(r.Act)] = r
			next = append(next, r.Parent, r.Other)
		}
		delete(of, next[0])
	}
	return kept, overruled
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
