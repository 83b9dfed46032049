package record

import (
	"bytes"
	"fmt"
	"reflect"
	"slices"
	"strings"
)

// tomlBlock is a table of a TOML text: its header and keys as they are written.
type tomlBlock struct {
	name string // "" for the keys before the first header
	list bool   // [[name]]
	// lead is what stands before the header: blank lines and comments.
	lead, header string
	entries      []tomlEntry
}

// tomlEntry is a key: lead, name and "=", value, and the rest of its last line.
type tomlEntry struct {
	lead, key, name, value, rest string
}

// splitTOML takes a valid TOML text apart; joinTOML of it is the text again.
func splitTOML(text string) (blocks []tomlBlock, tail string) {
	blocks = []tomlBlock{{}}
	lead := ""
	for text != "" {
		line, after := cutLine(text)
		switch trimmed := strings.TrimSpace(line); {
		case trimmed == "" || trimmed[0] == '#':
			lead += line
		case trimmed[0] == '[':
			name := strings.Trim(trimmed[:strings.IndexByte(trimmed, ']')], "[ \t\"'")
			blocks = append(blocks, tomlBlock{name: name, list: strings.HasPrefix(trimmed, "[["),
				lead: lead, header: line})
			lead = ""
		default:
			e := splitEntry(text)
			after = text[len(e.name)+len(e.value)+len(e.rest):]
			e.lead, lead = lead, ""
			b := &blocks[len(blocks)-1]
			b.entries = append(b.entries, e)
		}
		text = after
	}
	return blocks, lead
}

func cutLine(text string) (line, after string) {
	if i := strings.IndexByte(text, '\n'); i >= 0 {
		return text[:i+1], text[i+1:]
	}
	return text, ""
}

// splitEntry takes the key that a text begins with apart.
func splitEntry(text string) tomlEntry {
	equals := span(text, 0, func(c byte, _ int) bool { return c == '=' })
	begin := equals + 1
	for begin < len(text) && (text[begin] == ' ' || text[begin] == '\t') {
		begin++
	}
	end := span(text, begin, func(c byte, depth int) bool { return depth == 0 && (c == '\n' || c == '#') })
	value := strings.TrimRight(text[begin:end], " \t\r\n")
	rest, _ := cutLine(text[begin+len(value):])
	return tomlEntry{key: strings.Trim(text[:equals], " \t\"'"), name: text[:begin], value: value, rest: rest}
}

// span gives where, from an offset, a byte outside texts and comments ends it;
// depth counts the brackets that are open there.
func span(text string, from int, ends func(c byte, depth int) bool) int {
	depth := 0
	for i := from; i < len(text); i++ {
		if ends(text[i], depth) {
			return i
		}
		switch c := text[i]; c {
		case '[', '{':
			depth++
		case ']', '}':
			depth--
		case '#':
			for i+1 < len(text) && text[i+1] != '\n' {
				i++
			}
		case '"', '\'':
			i += quoted(text[i:]) - 1
		}
	}
	return len(text)
}

// quoted is the length of the TOML text in quotes that s begins with.
func quoted(s string) int {
	mark := s[:1]
	if strings.HasPrefix(s, strings.Repeat(mark, 3)) {
		mark = s[:3]
	}
	for i := len(mark); i < len(s); i++ {
		switch {
		case s[i] == '\\' && mark[0] == '"':
			i++
		case strings.HasPrefix(s[i:], mark):
			end := i + len(mark)
			for len(mark) == 3 && end < len(s) && s[end] == mark[0] { // up to two more belong to the text
				end++
			}
			return end
		}
	}
	return len(s)
}

func joinTOML(blocks []tomlBlock, tail string) []byte {
	var b bytes.Buffer
	for _, block := range blocks {
		b.WriteString(block.lead + block.header)
		for _, e := range block.entries {
			b.WriteString(e.lead + e.name + e.value + e.rest)
		}
	}
	b.WriteString(tail)
	return b.Bytes()
}

// editTOML makes of a text of the sections before one of the sections after.
// Where it is explicit, keys are added too whose value followed from the order
// of the text.
func editTOML(text []byte, before, after []section, explicit bool) []byte {
	old := string(text)
	if old != "" && !strings.HasSuffix(old, "\n") {
		old += "\n"
	}
	blocks, tail := splitTOML(old)
	for _, name := range sectionNames(before, after) {
		was, is := ofName(before, name), ofName(after, name)
		if slices.ContainsFunc(blocks, func(b tomlBlock) bool { return b.name == name && !b.list }) {
			was, is = orEmpty(was, name), orEmpty(is, name)
		}
		blocks, tail = editSections(blocks, tail, name, was, is, explicit)
	}
	return joinTOML(blocks, tail)
}

func sectionNames(lists ...[]section) (names []string) {
	for _, s := range slices.Concat(lists...) {
		if !slices.Contains(names, s.name) {
			names = append(names, s.name)
		}
	}
	return names
}

func ofName(all []section, name string) (of []section) {
	for _, s := range all {
		if s.name == name {
			of = append(of, s)
		}
	}
	return of
}

// orEmpty gives a table that is written, though it holds nothing.
func orEmpty(s []section, name string) []section {
	if len(s) == 0 {
		return []section{{name: name}}
	}
	return s
}

// editSections changes the tables of one name.
func editSections(blocks []tomlBlock, tail, name string, before, after []section,
	explicit bool) ([]tomlBlock, string) {
	place := sameList(before, after)
	kept, moved := []tomlBlock{}, "" // moved: comments of what is gone
	at, last, used := 0, -1, make([]bool, len(after))
	for _, b := range blocks {
		b.lead, moved = moved+b.lead, ""
		if b.name == name && at < len(place) {
			i := at
			at++
			if place[i] < 0 {
				moved = b.lead
				continue
			}
			used[place[i]] = true
			moved = b.edit(before[i].pairs, after[place[i]].pairs, explicit)
			last = len(kept)
		}
		kept = append(kept, b)
	}
	tail = moved + tail
	var added []tomlBlock
	for i, s := range after {
		if !used[i] {
			added = append(added, newBlock(s))
		}
	}
	if last < 0 {
		last = len(kept) - 1
		if len(added) > 0 && tail != "" { // what ends the text stays where it is
			added[0].lead, tail = tail+added[0].lead, ""
		}
	}
	return slices.Insert(kept, last+1, added...), tail
}

func newBlock(s section) tomlBlock {
	b := tomlBlock{name: s.name, list: s.list, lead: "\n", header: fmt.Sprintf("[%s]\n", s.name)}
	if s.list {
		b.header = fmt.Sprintf("[[%s]]\n", s.name)
	}
	for _, kv := range s.pairs {
		b.entries = append(b.entries, newEntry(kv))
	}
	return b
}

func newEntry(kv pair) tomlEntry {
	return tomlEntry{key: kv.key, name: kv.key + " = ", value: tomlValue(kv.value), rest: "\n"}
}

// edit changes the keys of a table and gives the comments that stood before keys
// at its end that are gone.
func (b *tomlBlock) edit(before, after pairs, explicit bool) (moved string) {
	var kept []tomlEntry
	for _, e := range b.entries {
		e.lead, moved = moved+e.lead, ""
		value, stays := after.get(e.key)
		if _, known := before.get(e.key); known && !stays {
			moved = e.lead
			continue
		}
		if was, _ := before.get(e.key); stays && !reflect.DeepEqual(was, value) {
			e.value = tomlValue(value)
		}
		kept = append(kept, e)
	}
	for _, kv := range after {
		was, known := before.get(kv.key)
		if slices.ContainsFunc(kept, func(e tomlEntry) bool { return e.key == kv.key }) ||
			known && !explicit && reflect.DeepEqual(was, kv.value) {
			continue
		}
		kept = append(kept, newEntry(kv))
	}
	b.entries = kept
	return moved
}

func (p pairs) get(key string) (value any, given bool) {
	for _, kv := range p {
		if kv.key == key {
			return kv.value, true
		}
	}
	return nil, false
}

// commentsOf gives the lines of a text that are comments and nothing else.
func commentsOf(text []byte) []byte {
	blocks, tail := splitTOML(string(text))
	var b strings.Builder
	keep := func(lead string) {
		for line := range strings.Lines(lead) {
			if strings.TrimSpace(line) != "" {
				b.WriteString(strings.TrimRight(line, "\r\n") + "\n")
			}
		}
	}
	for _, block := range blocks {
		keep(block.lead)
		for _, e := range block.entries {
			keep(e.lead)
		}
	}
	keep(tail)
	return []byte(b.String())
}
