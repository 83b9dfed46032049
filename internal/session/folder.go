package session

import (
	"cmp"
	"context"
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/internal/engine"
	"ohmward/internal/record"
)

// CaseFolder is the folder where a bench keeps its cases and the boards that were
// brought to it. Nothing outside the folder is written, and nothing outside it
// is reached by a name that came from elsewhere.
//
//	boards/NAME/…        fabrication files as brought
//	cases/ID/case.toml   one case each
type CaseFolder struct {
	dir     string
	one     string // the only case, which lies in no folder of cases; "": a folder
	root    *os.Root
	options engine.Options
	pace    time.Duration
	now     func() time.Time
	writer  record.Writer
	errors  func(string)
	find    func(context.Context) (*answer.Meters, error)
	stop    context.CancelFunc

	mu         sync.Mutex
	sessions   map[string]*Session
	boards     map[string]*LoadedBoard
	boardOrder []string // names of the boards, the last opened last
}

// mostBoards is how many boards stay open beside those of open cases.
const mostBoards = 4

// defaultPace is the time between two samples of the simulated meter.
const defaultPace = 90 * time.Millisecond

// FolderOptions are what a folder may be given; all may be left zero.
type FolderOptions struct {
	engine.Options
	Pace time.Duration    // between samples of the simulated meter
	Now  func() time.Time // the clock
	// Bench is what another bench is told that works here; "" makes one.
	Bench  string
	Errors func(string) // told of faults in the program, a line and more
	// FindMeters looks for instruments, once for each case that is opened; nil: none
	// are looked for.
	FindMeters func(context.Context) (*answer.Meters, error)
}

// OpenFolder opens the folder, making it where it is missing.
func OpenFolder(dir string, o FolderOptions) (*CaseFolder, error) {
	dir, err := filepath.Abs(dir)
	if err != nil {
		return nil, answer.AsError(err)
	}
	for _, sub := range []string{"boards", "cases"} {
		if err := os.MkdirAll(filepath.Join(dir, sub), 0o755); err != nil {
			return nil, answer.AsError(fmt.Errorf("the folder for cases cannot be made: %w", err))
		}
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, answer.AsError(err)
	}
	s := newFolder(dir, root, o)
	ctx, stop := context.WithCancel(context.Background())
	s.stop = stop
	s.sweep()
	go s.housekeep(ctx)
	return s, nil
}

// newFolder gives a folder that nobody looks after yet.
func newFolder(dir string, root *os.Root, o FolderOptions) *CaseFolder {
	s := &CaseFolder{dir: dir, root: root, options: o.Options, pace: o.Pace, now: o.Now, errors: o.Errors,
		find: o.FindMeters, stop: func() {}, sessions: map[string]*Session{}, boards: map[string]*LoadedBoard{}}
	if s.pace == 0 {
		s.pace = defaultPace
	}
	if s.now == nil {
		s.now = time.Now
	}
	if s.errors == nil {
		s.errors = func(string) {}
	}
	if s.writer = (record.Writer{Bench: o.Bench, Who: record.Account(), Now: s.now}); o.Bench == "" {
		s.writer.Bench = ownName()
	}
	return s
}

// Dir is the folder.
func (s *CaseFolder) Dir() string { return s.dir }

// Close ends all work in the folder. Nothing is written there afterwards.
func (s *CaseFolder) Close() {
	s.stop()
	s.mu.Lock()
	sessions := slices.Collect(maps.Values(s.sessions))
	s.mu.Unlock()
	for _, j := range sessions {
		j.close()
	}
	s.root.Close()
}

// mostRecent bounds the list of recent cases.
const mostRecent = 30

// Recent lists the cases, the last touched first.
func (s *CaseFolder) Recent() ([]answer.CaseLine, error) {
	out, err := s.lines()
	if err != nil {
		return nil, err
	}
	out = out[:min(len(out), mostRecent)]
	for i := range out {
		fillLine(&out[i], s)
	}
	return out, nil
}

// lines lists all cases by id, the last touched first.
func (s *CaseFolder) lines() ([]answer.CaseLine, error) {
	out := []answer.CaseLine{}
	entries, err := fs.ReadDir(s.root.FS(), "cases")
	if err != nil {
		return nil, answer.AsError(err)
	}
	for _, e := range entries {
		info, err := s.root.Stat(path.Join("cases", e.Name(), caseFile))
		if err != nil || !goodID.MatchString(e.Name()) {
			continue
		}
		out = append(out, answer.CaseLine{ID: e.Name(), Changed: info.ModTime().UTC()})
	}
	slices.SortStableFunc(out, func(a, b answer.CaseLine) int {
		return cmp.Or(b.Changed.Compare(a.Changed), strings.Compare(b.ID, a.ID))
	})
	return out, nil
}

// fillLine reads what the list says of a case.
func fillLine(l *answer.CaseLine, s *CaseFolder) {
	c, err := s.read(l.ID)
	if err != nil {
		l.Title, l.State = l.ID, "cannot be read"
		return
	}
	l.Title, l.Readings, l.State = titleOf(c), len(c.Readings), stateWords(c)
	if l.Nets = []string{}; c.Nets[0] != "" {
		l.Nets = c.Nets[:]
	}
	l.Practice = c.Steps != nil && c.Steps.Practice != nil
}

// caseFile is the case's name in its folder.
const caseFile = "case.toml"

var goodID = regexp.MustCompile(`^[a-z0-9][a-z0-9-]{0,63}$`)

func (s *CaseFolder) caseName(id string) string {
	if s.one != "" {
		return s.one
	}
	return filepath.Join(s.dir, "cases", id, caseFile)
}

// read reads a case by its id.
func (s *CaseFolder) read(id string) (*record.Case, error) {
	if s.one != "" {
		return record.Read(s.one)
	}
	if !goodID.MatchString(id) {
		return nil, &answer.Error{Kind: answer.Misuse, What: fmt.Sprintf("there is no case %.40q", id)}
	}
	f, err := s.openFile(path.Join("cases", id, caseFile))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, &answer.Error{Kind: answer.Misuse, What: fmt.Sprintf("there is no case %.40q", id),
			Hint: "it may have been removed; begin a new one"}
	}
	if err != nil {
		return nil, answer.AsError(err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, 4<<20))
	if err != nil {
		return nil, answer.AsError(err)
	}
	return record.Decode(s.caseName(id), data)
}

// openFile opens what is a file: a pipe would hold up whoever reads it.
func (s *CaseFolder) openFile(name string) (*os.File, error) {
	info, err := s.root.Stat(name)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, &answer.Error{Kind: answer.Bad, What: name + " is no file", Hint: "move it out of the folder"}
	}
	return s.root.Open(name)
}

// begin makes a folder for a case and writes the case.
func (s *CaseFolder) begin(name string, c *record.Case) (string, error) {
	var own [3]byte
	if _, err := rand.Read(own[:]); err != nil {
		return "", err
	}
	id := slug(name, 40) + "-" + hex.EncodeToString(own[:])
	if err := s.root.Mkdir(path.Join("cases", id), 0o755); err != nil {
		return "", answer.AsError(err)
	}
	c.File = s.caseName(id)
	c.Steps.Begun = s.now().UTC().Truncate(time.Second)
	if err := record.Create(c.File, c, "begun", s.writer); err != nil {
		_ = s.root.RemoveAll(path.Join("cases", id)) // ours, and without a case
		return "", &answer.Error{Kind: answer.Bad, What: "the case cannot be begun: " + plainCause(err).Error(),
			Hint: makeRoom, Cause: err}
	}
	return id, nil
}

var notSlug = regexp.MustCompile(`[^a-z0-9]+`)

// slug makes a name that any file system takes.
func slug(name string, most int) string {
	s := strings.Trim(notSlug.ReplaceAllString(strings.ToLower(name), "-"), "-")
	if s = strings.Trim(s[:min(len(s), most)], "-"); s == "" {
		return "board"
	}
	return s
}

// BeginPractice begins a case on an invented unit of the built-in demo.
func (s *CaseFolder) BeginPractice(number int) (string, error) {
	if number < 0 {
		return "", &answer.Error{Kind: answer.Misuse, What: "units are numbered from 0"}
	}
	q, _ := bench.PracticeOf(uint64(number), "")
	c := &record.Case{Board: record.Demo, Nets: [2]string{q.Nets[0], q.Nets[1]},
		Meter: record.Meter{Profile: engine.DefaultMeter},
		Steps: &record.Steps{Practice: &number, Unit: fmt.Sprintf("Practice unit %d", number)}}
	for _, m := range q.Metal {
		c.Metal = append(c.Metal, record.Metal{Part: m.Part, Net: m.Net})
	}
	return s.begin(fmt.Sprintf("practice-%d", number), c)
}

// NextPractice is the number of the next invented unit.
func (s *CaseFolder) NextPractice() int {
	n := 1
	lines, err := s.Recent()
	if err != nil {
		return n
	}
	for _, l := range lines {
		if c, err := s.read(l.ID); err == nil && c.Steps != nil && c.Steps.Practice != nil {
			n = max(n, *c.Steps.Practice+1)
		}
	}
	return n
}

// BeginOn begins a case on a board that the person who started the program
// named: a path, or the demo. A case on it that has no nets yet is taken up.
func (s *CaseFolder) BeginOn(board string) (string, error) {
	if board != record.Demo {
		abs, err := filepath.Abs(board)
		if err != nil {
			return "", answer.AsError(err)
		}
		if _, err := os.Stat(abs); err != nil {
			return "", &answer.Error{Kind: answer.Bad,
				What: fmt.Sprintf("board: %s: no such folder, zip or file", board)}
		}
		board = abs
	}
	lines, err := s.Recent()
	if err != nil {
		return "", err
	}
	for _, l := range lines {
		if c, err := s.read(l.ID); err == nil && c.Board == board && c.Steps != nil && c.Nets[0] == "" {
			return l.ID, nil
		}
	}
	return s.begin(filepath.Base(board), &record.Case{Board: board, Meter: record.Meter{Profile: handHeldMeter},
		Steps: &record.Steps{}})
}

// BeginLike begins another case on the board of an earlier one.
func (s *CaseFolder) BeginLike(id string) (string, error) {
	c, err := s.read(id)
	if err != nil {
		return "", answer.AsError(err)
	}
	if c.Steps != nil && c.Steps.Practice != nil {
		return s.BeginPractice(s.NextPractice())
	}
	return s.begin(filepath.Base(c.Board), &record.Case{Board: c.Board, Meter: c.Meter, Copper: c.Copper,
		Steps: carryOverrides(c.Steps)})
}

// carryOverrides begins the steps of a case on a board that an earlier one read: what
// the overrides of its files hold.
func carryOverrides(s *record.Steps) *record.Steps {
	if s == nil {
		return &record.Steps{}
	}
	return &record.Steps{Settled: s.Settled, Roles: s.Roles, Copy: s.Copy, MeterAt: s.MeterAt}
}
