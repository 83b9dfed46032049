package record

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"ohmward/internal/nearest"
	"ohmward/unit"
)

// decoder keeps the first thing wrong with the file.
type decoder struct {
	file string
	err  error
}

func (d *decoder) fail(line int, format string, args ...any) {
	if d.err == nil {
		d.err = &Error{d.file, line, fmt.Sprintf(format, args...)}
	}
}

// setter takes the value of one key.
type setter func(key string, n *node)

// table hands each key of a table to its setter, in the order of the file. A
// key without one is an error that names the nearest.
func (d *decoder) table(name string, n *node, setters map[string]setter) {
	m, isTable := n.value.(map[string]*node)
	if !isTable {
		d.fail(n.line, "%s is not a table of keys", name)
		return
	}
	keys := sortedKeys(m)
	sort.SliceStable(keys, func(i, j int) bool { return m[keys[i]].line < m[keys[j]].line })
	for _, key := range keys {
		set, known := setters[key]
		if !known {
			d.unknown(name, key, m[key].line, sortedKeys(setters))
			return
		}
		set(key, m[key])
	}
}

func (d *decoder) unknown(table, key string, line int, known []string) {
	hint := "; it takes " + strings.Join(known, ", ")
	if k, near := nearest.Name(key, known); near {
		hint = fmt.Sprintf(": did you mean %q?", k)
	}
	d.fail(line, "unknown key %.40q in %s%s", key, table, hint)
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

// each hands out the tables of a list such as [[reading]].
func (d *decoder) each(most int, do func(n *node)) setter {
	return func(key string, n *node) {
		list, isList := n.value.([]*node)
		switch {
		case !isList:
			d.fail(n.line, "%s is not a list of tables: write [[%s]]", key, key)
		case len(list) > most:
			d.fail(n.line, "more than %d of %s", most, key)
		default:
			for _, e := range list {
				do(e)
			}
		}
	}
}

// text takes a text that is not empty.
func (d *decoder) text(into *string) setter {
	return func(key string, n *node) {
		s, isText := n.value.(string)
		switch {
		case !isText:
			d.fail(n.line, "%s is not a text in quotes", key)
		case strings.TrimSpace(s) == "":
			d.fail(n.line, "%s is empty", key)
		default:
			*into = s
		}
	}
}

// oneOf takes one of the words.
func (d *decoder) oneOf(into *string, words ...string) setter {
	return func(key string, n *node) {
		d.text(into)(key, n)
		if s, isText := n.value.(string); isText && !slices.Contains(words, s) {
			hint := ": it is one of " + strings.Join(words, ", ")
			if w, near := nearest.Name(s, words); near {
				hint = fmt.Sprintf(": did you mean %q?", w)
			}
			d.fail(n.line, "%s is %.40q%s", key, s, hint)
		}
	}
}

// two takes a list of two different texts.
func (d *decoder) two(into *[2]string, what string) setter {
	return func(key string, n *node) {
		list, _ := n.value.([]*node)
		if len(list) != 2 {
			d.fail(n.line, "%s is not a list of two %s", key, what)
			return
		}
		for i, e := range list {
			d.text(&into[i])(key, e)
		}
		if into[0] == into[1] {
			d.fail(n.line, "%s names %q twice", key, into[0])
		}
	}
}

// number takes a number of the range; scale turns it into SI.
func number[F ~float64](d *decoder, into **F, low, high, scale float64) setter {
	return func(key string, n *node) {
		if x, ok := d.float(key, n, low, high); ok {
			f := F(x * scale)
			*into = &f
		}
	}
}

func (d *decoder) float(key string, n *node, low, high float64) (float64, bool) {
	x, isNumber := n.value.(float64)
	switch {
	case !isNumber:
		d.fail(n.line, "%s is not a number", key)
	case !(x >= low && x <= high): // NaN fails too
		d.fail(n.line, "%s = %g is out of range: %g to %g", key, x, low, high)
	default:
		return x, true
	}
	return 0, false
}

// lengths takes a length, or a list of them.
func (d *decoder) lengths(into *[]unit.Length, low, high, scale float64) setter {
	return func(key string, n *node) {
		list, isList := n.value.([]*node)
		if !isList {
			list = []*node{n}
		}
		if len(list) == 0 {
			d.fail(n.line, "%s is an empty list", key)
		}
		for _, e := range list {
			if x, ok := d.float(key, e, low, high); ok {
				*into = append(*into, unit.Length(x*scale))
			}
		}
	}
}

// A reading's bounds, in ohms.
const leastOhms, mostOhms = -1e9, 1e12

// ohms takes a resistance: a number of ohms, or as people type it: "18.7m",
// "OL".
func (d *decoder) ohms(into **unit.Resistance) setter {
	return func(key string, n *node) {
		if s, isText := n.value.(string); isText {
			r, err := unit.ParseReading(s)
			switch {
			case err != nil:
				d.fail(n.line, "%s: %s", key, err)
			case !r.IsOpen() && (r < leastOhms || r > mostOhms):
				d.fail(n.line, "%s is %s: a reading lies between %g and %g ohms, or is OL", key, s, leastOhms, mostOhms)
			}
			*into = &r
			return
		}
		if x, isNumber := n.value.(float64); isNumber {
			if r, err := unit.FromInstrument(x); err == nil && r.IsOpen() {
				*into = &r
				return
			}
		}
		number(d, into, leastOhms, mostOhms, 1)(key, n)
	}
}
