package ipc2581

import (
	"encoding/binary"
	"reflect"
	"strings"
	"testing"
	"unicode/utf16"
)

// wide is a text in UTF-16.
func wide(text string, order binary.AppendByteOrder, mark bool) string {
	var out []byte
	if mark {
		text = "\ufeff" + text
	}
	for _, u := range utf16.Encode([]rune(text)) {
		out = order.AppendUint16(out, u)
	}
	return string(out)
}

// named says another encoding in a text's first line.
func named(text, encoding string) string {
	return strings.Replace(text, `encoding="UTF-8"`, `encoding="`+encoding+`"`, 1)
}

// bytesOf puts single bytes for letters that the encoding has there.
var bytesOf = strings.NewReplacer("Ω", "\x95", "µ", "\xb5", "€", "\x80", "é", "\xe9")

// The same board whatever the letters are stored as. The names are one beyond
// ASCII, one beyond the first 64k, and what windows-1252 has where ISO 8859-1
// has nothing.
func TestEncodings(t *testing.T) {
	text := func(name string) string {
		return strings.Replace(made{features: `<Features>` + el + `</Features>`}.text(), `net="A"`, `net="`+name+`"`, 1)
	}
	const rich, narrow = "Ωé€𝄞", "µé€"
	single := bytesOf.Replace(text(narrow))
	for _, c := range []struct {
		what, text, net string
		warns           string
	}{
		{"UTF-8", text(rich), rich, ""},
		{"UTF-8 with a mark", "\ufeff" + text(rich), rich, ""},
		{"UTF-16, little first", wide(named(text(rich), "UTF-16"), binary.LittleEndian, true), rich, ""},
		{"UTF-16, big first", wide(named(text(rich), "utf-16"), binary.BigEndian, true), rich, ""},
		{"UTF-16, little first, no mark", wide(named(text(rich), "UTF-16LE"), binary.LittleEndian, false), rich, ""},
		{"UTF-16, big first, no mark", wide(named(text(rich), "UTF-16BE"), binary.BigEndian, false), rich, ""},
		{"windows-1252", named(single, "Windows-1252"), narrow, ""},
		{"ISO 8859-1", named(single, "ISO-8859-1"), narrow, ""},
		{"windows-1252 that claims UTF-8", single, narrow, "not in the encoding"},
	} {
		d, err := Read(strings.NewReader(c.text), "made.xml")
		if err != nil {
			t.Errorf("%s: %v", c.what, err)
			continue
		}
		if got := d.Layers[0].Objects[0].Net; got != c.net {
			t.Errorf("%s: net %q, want %q", c.what, got, c.net)
		}
		if c.warns != "" && !warned(d, c.warns) || c.warns == "" && warned(d, "encoding") {
			t.Errorf("%s: warnings %v", c.what, d.Warnings)
		}
		plain, err := Read(strings.NewReader(text("A")), "made.xml")
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(d.Layers[0].Objects[0].Rings, plain.Layers[0].Objects[0].Rings) || !reflect.DeepEqual(d.Layers[1], plain.Layers[1]) {
			t.Errorf("%s: another board", c.what)
		}
	}
	// Half a letter at the end is a file cut off, not a crash.
	for _, order := range []binary.AppendByteOrder{binary.LittleEndian, binary.BigEndian} {
		cut := wide(named(text(rich), "UTF-16"), order, true)
		if d, err := Read(strings.NewReader(cut[:len(cut)-5]), "cut.xml"); err != nil || d.CutOff == 0 {
			t.Errorf("cut within a letter: %v", err)
		}
	}
}
