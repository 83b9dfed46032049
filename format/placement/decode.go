package placement

import (
	"bytes"
	"encoding/binary"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// decode gives the text of a file as lines ended by LF: UTF-8 with or without
// its mark, UTF-16 with its mark, else Latin-1. ok is false for no text.
func decode(data []byte) (text string, ok bool) {
	switch {
	case bytes.HasPrefix(data, []byte("\xff\xfe")):
		text = wide(data[2:], binary.LittleEndian)
	case bytes.HasPrefix(data, []byte("\xfe\xff")):
		text = wide(data[2:], binary.BigEndian)
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
