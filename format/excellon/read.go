package excellon

import (
	"io"
	"strings"

	"ohmward/format/fault"
	"ohmward/format/internal/scan"
	"ohmward/geom"
)

// tool is one line of the tool table.
type tool struct {
	size     float64 // in the unit in force when it was defined
	unit     int64   // 0: not said then
	sized    bool
	plating  Plating
	function []string
}

// reader is the state of the machine while a file is read.
type reader struct {
	fault.Log
	file *File

	unit    int64 // nanometres; 0: not said
	zeros   zeros
	digits  [2]int // before and after the point; both 0: not said
	implied bool   // some coordinate had no point
	lifts   bool   // the file uses M15, M16 or M17

	tools       map[int]*tool
	hints       map[int]*tool // from comments, where the table has no size
	current     int
	header      bool
	incremental bool
	at          geom.Point
	origin      geom.Point // G93
	rout        bool
	plot        int // 0 move, 1 line, 2 clockwise, 3 counter-clockwise
	down        bool
	cut         bool // something was cut since the tool went down

	section  Plating // from ;TYPE=
	sections [3]bool
	function []string // of the tools that follow

	pattern  int // first hit of the pattern; -1: none
	patterns int // one past its last hit; -1: open
	shift    geom.Point

	limits limits
	known  int
}

// Read reads one drill or rout file. The name stands in errors and warnings
// only. It returns a *fault.Error, or what the stream failed with. A file cut off
// before its end is not an error: Complete tells.
func Read(in io.Reader, name string) (*File, error) { return read(in, name, usual) }

func read(in io.Reader, name string, l limits) (file *File, err error) {
	defer fault.Catch(&err)
	r := &reader{
		Log: fault.NewLog("excellon", name), limits: l,
		file:  &File{Attributes: map[string][]string{}},
		tools: map[int]*tool{}, hints: map[int]*tool{},
		pattern: -1, patterns: -1,
	}
	data, err := r.ReadAll(in, l.bytes)
	if err != nil {
		return nil, err
	}
	r.survey(data)
	r.lines(data)
	r.finish()
	r.file.Warnings = r.Warnings
	return r.file, nil
}

func (r *reader) lines(data []byte) {
	for l, s := range trimmed(data) {
		if r.file.Complete {
			if r.behind(l.Number, s) {
				return
			}
			continue
		}
		if r.Line = l.Number; len(s) > maxLine {
			panic(r.Unsupported("too large: a line of more than %d bytes", maxLine))
		}
		if l.Open && r.known > 0 && !isEnd(s) {
			// Half a line drills elsewhere than the whole one would.
			r.Warn("the file breaks off within the line %q, which is left out", fault.Short(s))
			return
		}
		r.run(s)
	}
}

// isEnd tells whether a line may end a file: its last command, or a comment.
func isEnd(s string) bool {
	switch strings.ToUpper(s) {
	case "M30", "M00", "M02", "M0", "M2", "%":
		return true
	}
	return s[0] == ';'
}

func (r *reader) run(s string) {
	if s[0] == ';' {
		r.comment(s[1:])
		return
	}
	if k := strings.IndexByte(s, ';'); k > 0 {
		r.comment(s[k+1:])
		s = strings.TrimSpace(s[:k])
	}
	s = strings.ToUpper(s)
	if s[0] == '(' { // a comment of some rout files
		return
	}
	if r.keyword(s) {
		r.known++
		return
	}
	words, ok := tokens(s)
	if !ok || len(words) == 0 {
		r.odd(s)
		return
	}
	r.words(s, words)
}

// odd is a line that is no command: malformed where it begins like
// coordinates, else ignored.
func (r *reader) odd(s string) {
	if c := s[0]; c == 'X' || c == 'Y' {
		panic(r.Malformed("malformed coordinates %q", fault.Short(s)))
	}
	if r.header && r.current == 0 && len(r.file.Hits) == 0 { // a tool that is lost here is told where it drills
		r.Warn("unknown command %q ignored", fault.Short(s))
		return
	}
	r.Lose("unknown command %q ignored", fault.Short(s))
}

// behind tells of a line after the end mark that is more than a comment, a second
// end mark or what old systems end a file with.
func (r *reader) behind(line int, s string) bool {
	s = strings.Trim(s, " \x1a")
	if s == "" || isEnd(s) || s[0] == '(' {
		return false
	}
	ended := r.Line
	r.Line = line
	r.Lose("the file goes on behind its end mark of line %d: %q and all that follows is left out", ended,
		fault.Short(s))
	r.Line = ended
	return true
}

func (r *reader) finish() {
	if r.known == 0 {
		panic(r.Malformed("no drill command found: not a drill file, or empty"))
	}
	if r.file.Complete { // else a cut may have been to follow
		r.liftTool()
	}
	f := r.file
	if ff := f.Attributes[".FileFunction"]; len(ff) > 0 {
		r.fileFunction(ff)
	}
	if f.Plating == PlatingUnknown {
		f.Plating = r.common()
	}
	for i := range f.Hits {
		if f.Hits[i].Plating == PlatingUnknown {
			f.Hits[i].Plating = f.Plating
		}
	}
	f.Metric = r.unit == scan.MM
	f.Trusted = !r.implied || r.zeros != zerosUnknown && r.digits[0]+r.digits[1] > 0
}

// common is what every ;TYPE= section of the file says, when they agree.
func (r *reader) common() Plating {
	if r.sections[Plated] && !r.sections[Unplated] && !r.sections[PlatingUnknown] {
		return Plated
	}
	if r.sections[Unplated] && !r.sections[Plated] && !r.sections[PlatingUnknown] {
		return Unplated
	}
	return PlatingUnknown
}

// fileFunction takes plating and span from .FileFunction.
func (r *reader) fileFunction(ff []string) {
	switch strings.ToLower(ff[0]) {
	case "plated":
		r.file.Plating = Plated
	case "nonplated":
		r.file.Plating = Unplated
	}
	if len(ff) >= 3 {
		from, ok1 := scan.Whole(ff[1])
		to, ok2 := scan.Whole(ff[2])
		if ok1 && ok2 && from >= 1 && to >= from && to <= 1000 {
			r.file.From, r.file.To = from, to
		} else {
			r.Warn("span %s to %s in .FileFunction is not understood", fault.Short(ff[1]), fault.Short(ff[2]))
		}
	}
}
