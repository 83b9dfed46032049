package placement

import (
	"bytes"
	"encoding/binary"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// decode gives the text of a file as lines ended by LF: UTF-8 with or without
// its mark, UTF-16 with it or plainly such, else Latin-1. ok is false for no text.
func decode(data []byte) (text string, ok bool) {
	switch {
	case bytes.HasPrefix(data, []byte("\xff\xfe")):
		text = wide(data[2:], binary.LittleEndian)
	case bytes.HasPrefix(data, []byte("\xfe\xff")):
		text = wide(data[2:], binary.BigEndian)
	case unmarked(data, 1):
		text = wide(data, binary.LittleEndian)
	case unmarked(data, 0):
		text = wide(data, binary.BigEndian)
	case utf8.Valid(data):
		text = string(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")))
	default:
		text = latin1(data)
	}
	if strings.IndexByte(text, 0) >= 0 {
		return "", false
	}
	text = strings.ReplaceAll(text, "\r\n", "\n")
	return strings.ReplaceAll(text, "\r", "\n"), true
}

// unmarked tells whether data are UTF-16 without a mark: nearly every second
// byte, from the given one, is zero, and no other.
func unmarked(data []byte, from int) bool {
	const enough = 16
	data = data[:min(len(data), 4096)&^1]
	zero := 0
	for i, b := range data {
		if b == 0 && i%2 != from {
			return false
		}
		if b == 0 {
			zero++
		}
	}
	return len(data) >= enough && zero >= len(data)/2*9/10
}

func wide(data []byte, order binary.ByteOrder) string {
	units := make([]uint16, len(data)/2)
	for i := range units {
		units[i] = order.Uint16(data[2*i:])
	}
	return string(utf16.Decode(units))
}

func latin1(data []byte) string {
	var b strings.Builder
	b.Grow(len(data) + len(data)/8)
	for _, c := range data {
		b.WriteRune(rune(c))
	}
	return b.String()
}
