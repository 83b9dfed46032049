package record

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"ohmward/internal/check"
	"ohmward/unit"
)

// writerOf makes this test binary a program that adds readings to a case file until
// it is killed: "PATH NAME FIRST".
const writerOf = "OHMWARD_TEST_WRITER"

func TestMain(m *testing.M) {
	if told := os.Getenv(writerOf); told != "" {
		if err := writeOn(told); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
	}
	os.Exit(m.Run())
}

// mostKept bounds the readings of the case: the oldest go.
const mostKept = 300

// writeOn adds readings, each of its own value, and prints a value once it is
// confirmed. Every second program holds the case as a bench does, the others add to
// it as a command does.
func writeOn(told string) error {
	var path, name string
	var first int
	if _, err := fmt.Sscan(told, &path, &name, &first); err != nil {
		return err
	}
	for n := first; ; n++ {
		add := func(c *Case) error {
			c.Readings = append(c.Readings, Reading{From: "A", To: "B", Ohms: unit.Resistance(n)})
			c.Readings = c.Readings[max(0, len(c.Readings)-mostKept):]
			return nil
		}
		if err := writeOne(path, name, n, add); err != nil {
			return err
		}
		fmt.Println(n)
	}
}

func writeOne(path, name string, n int, add func(*Case) error) error {
	if strings.HasPrefix(name, "command") {
		_, err := Update(path, bench(name), n, add)
		return err
	}
	for {
		s, c, err := OpenStore(path, bench(name))
		if err != nil {
			return err
		}
		if err := s.Hold(true); err != nil {
			return err
		}
		if err := add(c); err != nil {
			return err
		}
		var held *HeldError
		if err = s.Commit(c, n); !errors.As(err, &held) && !errors.Is(err, ErrChanged) {
			return err
		}
	}
}

// TestKilledWriters: programs that write to one case are killed outright, any number
// of times, while another reads it: it can be read at every moment, no confirmed
// reading is lost, and the journal has all of them in one line of descent.
func TestKilledWriters(t *testing.T) {
	path := filepath.Join(t.TempDir(), "case.toml")
	if err := create(path, &Case{Board: Demo, Nets: [2]string{"A", "B"}, Steps: &Steps{}}); err != nil {
		t.Fatal(err)
	}
	stop, reader := make(chan struct{}), sync.WaitGroup{}
	reader.Go(func() {
		for {
			select {
			case <-stop:
				return
			default:
			}
			if _, err := Read(path); err != nil {
				t.Error("cannot be read: ", err)
				return
			}
		}
	})
	kills := check.Draws(t, 10, 40, 100)
	if check.All() {
		kills = 500
	}
	var confirmed []int
	for k := 0; k < kills; k += 2 {
		for _, of := range twoKilled(t, path, k) {
			confirmed = append(confirmed, of...)
			c, err := Read(path)
			if err != nil {
				t.Fatal(err)
			}
			if n := len(of); n > 0 && !slices.ContainsFunc(c.Readings, func(r Reading) bool {
				return int(r.Ohms) == of[n-1]
			}) {
				t.Fatalf("after kill %d reading %d is lost", k, of[n-1])
			}
		}
	}
	close(stop)
	reader.Wait()
	if len(confirmed) < kills {
		t.Fatalf("only %d readings were confirmed in %d kills", len(confirmed), kills)
	}
	kept := descent(t, path)
	for _, n := range confirmed {
		if !kept[strconv.Itoa(n)] {
			t.Errorf("reading %d was confirmed, and is not in the journal's line", n)
		}
	}
	t.Logf("%d kills, %d confirmed readings, none lost", kills, len(confirmed))
}

// twoKilled lets two programs write at once, kills each after a while, and gives
// what each of them confirmed.
func twoKilled(t *testing.T, path string, k int) (confirmed [2][]int) {
	var both sync.WaitGroup
	for i, kind := range []string{"bench", "command"} {
		both.Go(func() {
			c := exec.Command(os.Args[0])
			var faults bytes.Buffer
			c.Stderr = &faults
			c.Env = append(os.Environ(), fmt.Sprintf("%s=%s %s%d %d", writerOf, path, kind, k, (k+i)*100000))
			out, err := c.StdoutPipe()
			if err == nil {
				err = c.Start()
			}
			if err != nil {
				t.Error(err)
				return
			}
			lines := bufio.NewReader(out)
			note := func() bool {
				line, err := lines.ReadString('\n')
				if n, bad := strconv.Atoi(strings.TrimSpace(line)); err == nil && bad == nil {
					confirmed[i] = append(confirmed[i], n)
				}
				return err == nil
			}
			note() // it is at work
			time.AfterFunc(time.Duration(rand.IntN(40))*time.Millisecond, func() { _ = c.Process.Kill() })
			for note() {
			}
			_, _ = io.Copy(io.Discard, out)
			_ = c.Wait() // killed
			if faults.Len() > 0 {
				t.Errorf("%s: %s", kind, &faults)
			}
		})
	}
	both.Wait()
	return confirmed
}

// descent gives the acts of the journal's last revision and of all that it comes
// from.
func descent(t *testing.T, path string) map[string]bool {
	t.Helper()
	parents, acts, last := map[string]string{}, map[string]json.RawMessage{}, ""
	for r, err := range ReadJournal(path + JournalEnding) {
		if err != nil {
			t.Fatal(err)
		}
		parents[r.ID], acts[r.ID], last = r.Parent, r.Act, r.ID
	}
	kept := map[string]bool{}
	for id := last; id != ""; id = parents[id] {
		kept[string(acts[id])] = true
	}
	return kept
}
