package ipcd356

import (
	"bytes"
	"io"
	"strconv"
	"strings"
	"unicode"

	"ohmward/format/fault"
	"ohmward/format/internal/scan"
)

// tenthMil is the unit of inch files, 0.0001 inch, in nanometres.
const tenthMil = scan.Mil / 10

const (
	maxLine    = 4 << 10 // bytes; the format has 80 columns
	maxHeaders = 1000    // kinds of parameters
)

// limits are those that tests lower.
type limits struct {
	bytes   int // of the file
	aliases int // of nets
}

// The netlists of large boards hold some ten thousand points.
var usual = limits{bytes: 64 << 20, aliases: 200_000}

type reader struct {
	fault.Log
	file   *File
	limits limits

	unit    int64 // nanometres; 0: not said
	radians bool
	aliases map[string]string // by upper-case alias
	last    int               // index of the record that a continuation continues; -1 none
	known   int               // lines understood
	beyond  bool              // something stands after the 999
}

// Read reads one netlist. The name stands in errors and warnings only. It
// returns a *fault.Error, or what the stream failed with. A file cut off before
// its 999 is not an error: Complete tells. A record that cannot be read is left
// out with a warning and counted in Unread.
func Read(in io.Reader, name string) (*File, error) { return read(in, name, usual) }

func read(in io.Reader, name string, l limits) (*File, error) {
	r := &reader{
		Log: fault.NewLog("ipcd356", name), limits: l, last: -1,
		file: &File{Headers: map[string]string{}}, aliases: map[string]string{},
	}
	data, err := r.ReadAll(in, l.bytes)
	if err != nil {
		return nil, err
	}
	for line := range scan.Lines(bytes.TrimPrefix(data, []byte("\ufeff"))) {
		s := string(bytes.TrimRight(line.Text, " \t\x00\x1a"))
		if s == "" {
			continue
		}
		if r.Line = line.Number; len(s) > maxLine {
			return nil, r.Unsupported("too large: a line of more than %d bytes", maxLine)
		}
		if err := r.run(s); err != nil {
			return nil, err
		}
	}
	if err := r.finish(); err != nil {
		return nil, err
	}
	r.file.Warnings = r.Warnings
	return r.file, nil
}

func (r *reader) run(s string) error {
	if r.file.Complete {
		if !r.beyond {
			r.Warn("text after the end record 999 ignored")
		}
		r.beyond = true
		return nil
	}
	c := toColumns(s)
	if strings.ContainsRune(s, '\t') {
		r.WarnFirst("tabs opened to columns of 8")
	}
	if c[0] == ' ' {
		if t := strings.TrimLeft(string(c), " "); t != "" && code(columns(t)) != 0 {
			r.WarnFirst("blanks before the record's number dropped")
			c = columns(t)
		}
	}
	switch unicode.ToUpper(c[0]) {
	case 'C':
		r.known++
		return nil
	case 'P':
		return r.parameter(c)
	}
	return r.record(c)
}

// code is the record number in columns 1 to 3, 0 where there is none.
func code(c columns) int {
	n := 0
	for i := range 3 {
		d := c.at(i)
		if d < '0' || d > '9' {
			return 0
		}
		n = 10*n + int(d-'0')
	}
	return n
}

func (r *reader) record(c columns) error {
	switch n := code(c); {
	case n == 999:
		r.file.Complete = true
	case n == 378 || n == 78:
		r.file.Conductors++
	case n == 379 || n == 79:
		r.file.Adjacencies++
	case n == 389 || n == 89:
		r.file.Outlines++
	case n == 17 || n == 27 || n == 37 || n == 47 || n == 67 || n == 7:
		r.continuation(c)
	case n == 307 || n == 317 || n == 327 || n == 337 || n == 347 || n == 367:
		r.point(c, kinds[n])
	case n == 0:
		r.Warn("line %q is no record: ignored", fault.Short(string(c)))
		return nil
	default:
		r.WarnFirst("record %03d is not known: ignored", n)
		r.last = -1
		return nil
	}
	r.known++
	return nil
}

var kinds = map[int]Kind{
	307: Hidden, 317: Through, 327: Surface, 337: ToolingFeature, 347: ToolingHole, 367: Unplated,
}

// finish resolves what could stand anywhere in the file.
func (r *reader) finish() error {
	f := r.file
	if r.known == 0 {
		return r.Malformed("no record found: not a netlist, or empty")
	}
	if len(f.Records) == 0 && f.Unread > 0 {
		return r.Malformed("none of %d test records can be read", f.Unread)
	}
	f.Metric = r.unit == scan.Micrometre
	for i := range f.Records {
		f.Layers = max(f.Layers, f.Records[i].Access)
	}
	for i := range f.Records {
		rec := &f.Records[i]
		rec.Side = side(rec.Access, f.Layers)
		r.resolve(rec)
	}
	return nil
}

func side(access, layers int) Side {
	switch {
	case access < 0:
		return SideUnknown
	case access == 0:
		return SideBoth
	case access == 1:
		return SidePrimary
	case access == layers:
		return SideSecondary
	}
	return SideInner
}

// resolve puts the long name for an alias, and none for N/C.
func (r *reader) resolve(rec *Record) {
	upper := strings.ToUpper(rec.Net)
	switch upper {
	case "N/C", "NC", "":
		rec.Net = ""
		return
	}
	key, ok := aliasKey(upper)
	if !ok {
		return
	}
	if long, ok := r.longName(key); ok {
		rec.Net = long
		return
	}
	r.Line = rec.Line
	r.WarnFirst("net alias %s has no long name: kept as it is", rec.Net)
}

// longName follows an alias to its name, through other aliases where one
// stands for another; in a circle the first name met again holds.
func (r *reader) longName(key string) (string, bool) {
	long, ok := r.aliases[key]
	for seen := map[string]bool{key: true}; ok; {
		next, alias := aliasKey(strings.ToUpper(long))
		name, further := r.aliases[next]
		if !alias || !further || seen[next] {
			break
		}
		seen[next] = true
		long = name
	}
	return long, ok
}

// aliasKey tells whether a word is NNAME with a number, be a sign between
// them, and gives the number without leading zeros.
func aliasKey(upper string) (string, bool) {
	digits, ok := strings.CutPrefix(upper, "NNAME")
	if !ok {
		return "", false
	}
	n, err := strconv.ParseUint(strings.TrimLeft(digits, " _-#.:"), 10, 63)
	if err != nil {
		return "", false
	}
	return strconv.FormatUint(n, 10), true
}
