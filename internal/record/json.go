package record

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
)

// jsonTree reads tokens, so that each value keeps its line.
type jsonTree struct {
	file string
	data []byte
	dec  *json.Decoder
	at   int // offset up to which lines are counted
	line int
}

func parseJSON(file string, data []byte) (*node, error) {
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	t := &jsonTree{file: file, data: data, dec: json.NewDecoder(bytes.NewReader(data)), line: 1}
	t.dec.UseNumber()
	root, err := t.value(0)
	if err != nil {
		return nil, err
	}
	if _, err := t.dec.Token(); err != io.EOF {
		return nil, t.fail("something stands after the end of the object")
	}
	return root, nil
}

// token reads one token and moves the line along.
func (t *jsonTree) token() (json.Token, error) {
	tok, err := t.dec.Token()
	if err != nil {
		var bad *json.SyntaxError
		if errors.As(err, &bad) {
			t.seek(int(bad.Offset))
		}
		if err == io.EOF || err == io.ErrUnexpectedEOF {
			t.seek(len(t.data))
			return nil, t.fail("the file ends early: is it cut off?")
		}
		return nil, t.fail("%s", strings.TrimPrefix(err.Error(), "json: "))
	}
	t.seek(int(t.dec.InputOffset()))
	return tok, nil
}

func (t *jsonTree) seek(offset int) {
	offset = min(offset, len(t.data))
	if offset > t.at {
		t.line += bytes.Count(t.data[t.at:offset], []byte("\n"))
		t.at = offset
	}
}

func (t *jsonTree) fail(format string, args ...any) error {
	return &Error{t.file, t.line, fmt.Sprintf(format, args...)}
}

func (t *jsonTree) value(depth int) (*node, error) {
	tok, err := t.token()
	if err != nil {
		return nil, err
	}
	n := &node{line: t.line, value: tok}
	switch v := tok.(type) {
	case json.Delim:
		if depth == maxDepth {
			return nil, t.fail("is nested more than %d deep", maxDepth)
		}
		if v == '{' {
			n.value, err = t.object(depth)
		} else {
			n.value, err = t.array(depth)
		}
	case json.Number:
		if n.value, err = v.Float64(); err != nil {
			err = t.fail("%.40q is out of range", v.String())
		}
	case nil:
		err = t.fail("null stands for nothing here: leave the key out")
	}
	return n, err
}

func (t *jsonTree) object(depth int) (map[string]*node, error) {
	m := map[string]*node{}
	for t.dec.More() {
		key, err := t.token()
		if err != nil {
			return nil, err
		}
		name, line := key.(string), t.line
		if m[name] != nil {
			return nil, t.fail("key %.40q is given twice", name)
		}
		if m[name], err = t.value(depth + 1); err != nil {
			return nil, err
		}
		if _, isList := m[name].value.([]*node); !isList {
			m[name].line = line
		}
	}
	_, err := t.token()
	return m, err
}

func (t *jsonTree) array(depth int) ([]*node, error) {
	list := []*node{}
	for t.dec.More() {
		n, err := t.value(depth + 1)
		if err != nil {
			return nil, err
		}
		list = append(list, n)
	}
	_, err := t.token()
	return list, err
}
