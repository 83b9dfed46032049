package ipc2581

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// letters says how bytes make letters.
type letters uint8

const (
	asUTF8 letters = iota
	asWindows1252
	asUTF16LE
	asUTF16BE
)

// decoded gives a file as UTF-8, byte by byte, so that the encoding may change
// where the file's first line names one. What is no UTF-8 in a file that
// claims to be is read as windows-1252, as writers mean it (common practice,
// no source).
type decoded struct {
	in       *bufio.Reader
	as       letters
	begun    bool
	rest     [utf8.UTFMax]byte // of the letter being given
	n, at    int
	replaced bool // some bytes were no UTF-8
}

// begin looks at the first bytes, which tell UTF-16 and marks of byte order
// (the XML 1.0 recommendation, appendix F).
func (d *decoded) begin() {
	d.begun = true
	head, _ := d.in.Peek(3)
	switch s := string(head); {
	case s == "\xef\xbb\xbf":
		d.in.Discard(3)
	case strings.HasPrefix(s, "\xff\xfe"):
		d.in.Discard(2)
		d.as = asUTF16LE
	case strings.HasPrefix(s, "\xfe\xff"):
		d.in.Discard(2)
		d.as = asUTF16BE
	case strings.HasPrefix(s, "<\x00"):
		d.as = asUTF16LE
	case strings.HasPrefix(s, "\x00<"):
		d.as = asUTF16BE
	}
}

// ReadByte gives the next byte of the text in UTF-8.
func (d *decoded) ReadByte() (byte, error) {
	if !d.begun {
		d.begin()
	}
	if d.at < d.n {
		d.at++
		return d.rest[d.at-1], nil
	}
	letter, err := d.letter()
	d.n, d.at = utf8.EncodeRune(d.rest[:], letter), 1
	return d.rest[0], err
}

// letter gives the next letter of the text.
func (d *decoded) letter() (rune, error) {
	if d.as == asUTF16LE || d.as == asUTF16BE {
		return d.wide()
	}
	b, err := d.in.ReadByte()
	switch {
	case d.as == asWindows1252:
		return windows1252(b), err
	case b >= utf8.RuneSelf:
		return d.narrow(b), err
	}
	return rune(b), err
}

// Read is for the decoder's sake, which asks for it but reads by bytes.
func (d *decoded) Read(p []byte) (int, error) {
	for i := range p {
		b, err := d.ReadByte()
		if err != nil {
			return i, err
		}
		p[i] = b
	}
	return len(p), nil
}

// narrow gives the letter that begins with a byte beyond ASCII.
func (d *decoded) narrow(b byte) rune {
	if d.in.UnreadByte() == nil {
		head, _ := d.in.Peek(utf8.UTFMax)
		if letter, n := utf8.DecodeRune(head); n > 1 {
			d.in.Discard(n)
			return letter
		}
		d.in.Discard(1)
	}
	d.replaced = true
	return windows1252(b)
}

// wide gives the next letter of UTF-16.
func (d *decoded) wide() (rune, error) {
	a, err := d.pair()
	if err != nil || !utf16.IsSurrogate(a) {
		return a, err
	}
	b, err := d.pair()
	return utf16.DecodeRune(a, b), err
}

func (d *decoded) pair() (rune, error) {
	a, err := d.in.ReadByte()
	if err != nil {
		return 0, err
	}
	b, err := d.in.ReadByte()
	if d.as == asUTF16LE {
		a, b = b, a
	}
	return rune(a)<<8 | rune(b), err
}

// named takes up the encoding that the file's first line names.
func (d *decoded) named(label string, _ io.Reader) (io.Reader, error) {
	switch strings.ToLower(label) {
	case "utf-16", "utf-16le", "utf-16be", "ucs-2", "iso-10646-ucs-2":
		return d, nil // the first bytes told; if they did not, it is none
	case "utf8", "us-ascii", "ascii":
		return d, nil
	case "iso-8859-1", "iso8859-1", "latin1", "latin-1", "windows-1252", "cp1252":
		if d.as == asUTF8 {
			d.as = asWindows1252
		}
		return d, nil
	}
	return nil, &encodingError{label}
}

type encodingError struct{ label string }

func (e *encodingError) Error() string {
	return fmt.Sprintf("encoding %q is not read; save the file as UTF-8", shorten(e.label))
}

// windows1252 gives a byte's letter. Where the code page has none, and in
// ISO 8859-1 of which it is the usual extension, it is the byte's own number.
func windows1252(b byte) rune {
	if b >= 0x80 && b < 0xa0 {
		if r := upper1252[b-0x80]; r != 0 {
			return r
		}
	}
	return rune(b)
}

// upper1252 are the letters from 0x80 on (the WHATWG encoding standard's
// index windows-1252).
var upper1252 = [32]rune{
	'€', 0, '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', 0, 'Ž', 0,
	0, '‘', '’', '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', 0, 'ž', 'Ÿ',
}

var (
	errTokenTooLong = errors.New("one tag or text is too long")
	errFileTooLong  = errors.New("the file is too long")
)
