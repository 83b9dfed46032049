package ipc2581

import (
	"bufio"
	"encoding/xml"
	"errors"
	"io"
	"strings"

	"ohmward/format/fault"
)

// element is an open tag; names are without their namespace prefixes.
type element struct {
	name  string
	attrs []xml.Attr
	line  int
}

// attr gives an attribute's value; a missing one is empty.
func (e *element) attr(name string) string {
	for i := range e.attrs {
		if e.attrs[i].Name.Local == name && e.attrs[i].Name.Space != "xmlns" {
			return strings.TrimSpace(e.attrs[i].Value)
		}
	}
	return ""
}

// gauge counts what the decoder takes in, so that neither one endless tag nor
// an endless file is gathered in memory.
type gauge struct {
	in    io.Reader
	most  int   // bytes of one tag or text
	since int   // bytes since the last one ended
	left  int64 // bytes of the file
}

func (g *gauge) Read(p []byte) (int, error) {
	if g.since > g.most {
		return 0, errTokenTooLong
	}
	if g.left <= 0 {
		return 0, errFileTooLong
	}
	n, err := g.in.Read(p)
	g.since += n
	g.left -= int64(n)
	return n, err
}

// stream is the decoder with the elements open at the moment.
type stream struct {
	dec   *xml.Decoder
	text  *decoded
	gauge *gauge
	open  []string
}

func newStream(in io.Reader, l limits) *stream {
	g := &gauge{in: in, most: l.token, left: l.bytes}
	t := &decoded{in: bufio.NewReader(g)}
	d := xml.NewDecoder(t)
	d.CharsetReader = t.named
	return &stream{dec: d, text: t, gauge: g}
}

// next gives the next open or close tag: an element, or nil at a close tag and
// at the end of the file behind its root.
func (r *reader) next() *element {
	s := r.in
	for {
		token, err := s.dec.RawToken()
		r.Line, _ = s.dec.InputPos()
		s.gauge.since = 0
		switch {
		case err == io.EOF && len(s.open) == 0:
			return nil
		case err != nil:
			panic(r.broken(err))
		}
		switch t := token.(type) {
		case xml.StartElement:
			if len(s.open) >= maxDepth {
				panic(r.Unsupported("more than %d elements inside each other", maxDepth))
			}
			s.open = append(s.open, t.Name.Local)
			return &element{t.Name.Local, t.Attr, r.Line}
		case xml.EndElement:
			if len(s.open) == 0 || s.open[len(s.open)-1] != t.Name.Local {
				panic(r.Malformed("</%s> closes nothing that is open", shorten(t.Name.Local)))
			}
			s.open = s.open[:len(s.open)-1]
			return nil
		}
	}
}

// broken turns a decoder's failure into one of ours.
func (r *reader) broken(err error) error {
	var syntax *xml.SyntaxError
	var coded *encodingError
	switch {
	case errors.As(err, &coded):
		return r.Unsupported("%v", coded)
	case errors.Is(err, errTokenTooLong), errors.Is(err, errFileTooLong):
		return r.Unsupported("too large: %v", err)
	case err == io.EOF, errors.As(err, &syntax) && strings.Contains(syntax.Msg, "unexpected EOF"):
		r.short = true
		return r.Malformed("the file ends inside %s: it is cut off; get it whole", r.where())
	case errors.As(err, &syntax):
		return r.Malformed("not well-formed XML: %s", shorten(syntax.Msg))
	case strings.HasPrefix(err.Error(), "xml: "):
		return r.Unsupported("%s", shorten(strings.TrimPrefix(err.Error(), "xml: ")))
	}
	return r.Stream(err)
}

func (r *reader) where() string {
	if n := len(r.in.open); n > 0 {
		return "<" + shorten(r.in.open[n-1]) + ">"
	}
	return "a tag"
}

// each visits the elements inside the one just opened, up to its close tag.
// What a visit does not read itself is ignored.
func (r *reader) each(visit func(e *element)) {
	level := len(r.in.open)
	for e := r.next(); e != nil; e = r.next() {
		visit(e)
		for len(r.in.open) > level {
			r.next()
		}
	}
}

// named is each for the elements of one name.
func (r *reader) named(name string, visit func(e *element)) {
	r.each(func(e *element) {
		if e.name == name {
			visit(e)
		}
	})
}

func shorten(s string) string { return fault.Clip(s, 60) }
