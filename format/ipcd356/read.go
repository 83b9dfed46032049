package ipcd356

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode"
)

// Nanometres in one unit of the file.
const (
	nmPerTenthMil   = 2540
	nmPerMicrometre = 1000
)

type reader struct {
	name string
	line int
	file *File

	unit    int64 // nanometres; 0: not said
	radians bool
	aliases map[string]string // by upper-case alias
	last    int               // index of the record that a continuation continues; -1 none
	known   int               // lines understood
	warned  map[string]bool
	beyond  bool // something stands after the 999
}

// Read reads one netlist. The name stands in errors and warnings only. It
// returns a *MalformedError or an *UnsupportedError, or what the stream failed
// with. A file cut off before its 999 is not an error: Complete tells. A
// record that cannot be read is left out with a warning and counted in Unread.
func Read(in io.Reader, name string) (*File, error) {
	data, err := io.ReadAll(io.LimitReader(in, maxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("ipcd356: reading %s: %w", name, err)
	}
	r := &reader{
		name: name, line: 1, last: -1,
		file:    &File{Headers: map[string]string{}},
		aliases: map[string]string{}, warned: map[string]bool{},
	}
	if len(data) > maxBytes {
		return nil, r.unsupported("too large: more than %d bytes", maxBytes)
	}
	err = eachLine(data, func(line int, s string) error {
		if r.line = line; len(s) > maxLine {
			return r.unsupported("too large: a line of more than %d bytes", maxLine)
		}
		return r.run(s)
	})
	if err != nil {
		return nil, err
	}
	return r.file, r.finish()
}

func (r *reader) run(s string) error {
	if r.file.Complete {
		if !r.beyond {
			r.warn("text after the end record 999 passed over")
		}
		r.beyond = true
		return nil
	}
	c := toColumns(s)
	if strings.ContainsRune(s, '\t') {
		r.warnOnce("tabs opened to columns of 8")
	}
	if c[0] == ' ' {
		if t := strings.TrimLeft(string(c), " "); t != "" && code(columns(t)) != 0 {
			r.warnOnce("blanks before the record's number dropped")
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
		r.warn("line %q is no record: passed over", shorten(string(c)))
		return nil
	default:
		r.warnOnce("record %03d is not known: passed over", n)
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
		return r.malformed("no record found: not a netlist, or empty")
	}
	if len(f.Records) == 0 && f.Unread > 0 {
		return r.malformed("none of %d test records can be read", f.Unread)
	}
	f.Metric = r.unit == nmPerMicrometre
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
		return SideUnsaid
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
	r.line = rec.Line
	r.warnOnce("net alias %s has no long name: kept as it is", rec.Net)
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
