package gerber

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// labels are the object attributes in force, as objects carry them.
type labels struct {
	nets         []string
	ref          string
	pin, pinName string
}

func (l labels) set(o *Object) {
	o.Nets, o.Ref, o.Pin, o.PinName = l.nets, l.ref, l.pin, l.pinName
}

// override puts the labels that are in force on an object of a block.
func (l labels) override(o *Object) {
	if l.nets != nil {
		o.Nets = l.nets
	}
	if l.ref != "" {
		o.Ref, o.Pin, o.PinName = l.ref, l.pin, l.pinName
	}
}

// comment looks for attributes in the older form, G04 #@! TF....
func (r *reader) comment(s string) {
	_, rest, found := strings.Cut(s, "#@!")
	if !found {
		return
	}
	rest = strings.TrimSpace(rest)
	if len(rest) < 2 {
		return
	}
	switch code := strings.ToUpper(rest[:2]); code {
	case "TF", "TA", "TO", "TD":
		r.attribute(code, rest[2:])
	}
}

// attribute runs TF, TA, TO or TD; s is what follows the two letters.
func (r *reader) attribute(code, s string) {
	r.keep(len(s))
	s = strings.ToValidUTF8(s, "\ufffd")
	fields := strings.Split(strings.TrimSpace(s), ",")
	for i, f := range fields {
		fields[i] = unescape(strings.TrimSpace(f))
	}
	name, values := fields[0], fields[1:]
	if name == "" && code != "TD" {
		r.Warn("attribute without name ignored")
		return
	}
	into := r.img.Attributes
	switch code {
	case "TA":
		into = r.apertureAttributes
	case "TO":
		into = r.objectAttributes
	case "TD":
		r.deleteAttribute(name)
		return
	}
	if len(into) >= maxEntries {
		panic(r.Unsupported("too large: more than %d attributes", maxEntries))
	}
	into[name] = values
	if code == "TO" {
		r.relabel()
	}
}

// deleteAttribute forgets one attribute of apertures or objects, or all.
func (r *reader) deleteAttribute(name string) {
	if name == "" {
		clear(r.apertureAttributes)
		clear(r.objectAttributes)
	} else {
		delete(r.apertureAttributes, name)
		delete(r.objectAttributes, name)
	}
	r.relabel()
}

func (r *reader) relabel() {
	r.labels = labels{}
	if nets, ok := r.objectAttributes[".N"]; ok {
		if len(nets) == 0 {
			nets = []string{""}
		}
		r.labels.nets = nets
	}
	if p := r.objectAttributes[".P"]; len(p) > 0 {
		r.labels.ref = p[0]
		if len(p) > 1 {
			r.labels.pin = p[1]
		}
		if len(p) > 2 {
			r.labels.pinName = p[2]
		}
	} else if c := r.objectAttributes[".C"]; len(c) > 0 {
		r.labels.ref = c[0]
	}
}

// unescape turns \uXXXX and \UXXXXXXXX into the characters they stand for;
// anything else stays as it is.
func unescape(s string) string {
	if !strings.Contains(s, `\`) {
		return s
	}
	var b strings.Builder
	for s != "" {
		if s[0] == '\\' && len(s) > 1 {
			digits := 0
			switch s[1] {
			case 'u':
				digits = 4
			case 'U':
				digits = 8
			}
			if digits > 0 && len(s) >= 2+digits {
				if v, err := strconv.ParseUint(s[2:2+digits], 16, 32); err == nil && utf8.ValidRune(rune(v)) {
					b.WriteRune(rune(v))
					s = s[2+digits:]
					continue
				}
			}
		}
		b.WriteByte(s[0])
		s = s[1:]
	}
	return b.String()
}
