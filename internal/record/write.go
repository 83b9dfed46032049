package record

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"strconv"
	"strings"
)

// ErrUnreadable says that a case holds a value that no case file may hold.
var ErrUnreadable = errors.New("it could not be read back")

// textOf gives the text of a case, as TOML or JSON by the path's ending, made of
// an old one, which may be empty. It is an ErrUnreadable where that could not be
// read back.
func textOf(path string, old []byte, c *Case) ([]byte, error) {
	whole, err := encode(path, c)
	if err != nil {
		return nil, err
	}
	if _, err := Decode(path, whole); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrUnreadable, err)
	}
	if !means(path, whole, whole) {
		return nil, fmt.Errorf("%w as it was meant", ErrUnreadable)
	}
	return revise(path, old, whole, c), nil
}

func encode(path string, c *Case) ([]byte, error) {
	switch strings.ToLower(filepath.Ext(path)) {
	case ".toml":
		return tomlText(c), nil
	case ".json":
		return jsonText(c), nil
	}
	return nil, &Error{File: path, What: "ends in neither .toml nor .json: a case file is one of them"}
}

func tomlText(c *Case) []byte {
	var b bytes.Buffer
	lines := func(p pairs) {
		for _, kv := range p {
			fmt.Fprintf(&b, "%s = %s\n", kv.key, tomlValue(kv.value))
		}
	}
	lines(headPairs(c))
	for _, s := range sections(c) {
		if s.list {
			fmt.Fprintf(&b, "\n[[%s]]\n", s.name)
		} else {
			fmt.Fprintf(&b, "\n[%s]\n", s.name)
		}
		lines(s.pairs)
	}
	return b.Bytes()
}

func tomlValue(v any) string {
	switch v := v.(type) {
	case float64:
		if v == math.Trunc(v) && math.Abs(v) < 1e15 {
			return strconv.FormatFloat(v, 'f', 0, 64)
		}
		return strconv.FormatFloat(v, 'g', -1, 64)
	case []float64:
		items := make([]string, len(v))
		for i := range v {
			items[i] = tomlValue(v[i])
		}
		return "[" + strings.Join(items, ", ") + "]"
	case []string:
		items := make([]string, len(v))
		for i := range v {
			items[i] = tomlValue(v[i])
		}
		return "[" + strings.Join(items, ", ") + "]"
	case bool:
		return strconv.FormatBool(v)
	case string:
		return quote(v)
	}
	panic(fmt.Sprintf("record: no way to write a %T", v))
}

// quote writes a TOML basic string.
func quote(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r < ' ' || r == 0x7f:
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

func jsonText(c *Case) []byte {
	root := map[string]any{}
	for _, kv := range headPairs(c) {
		root[kv.key] = kv.value
	}
	for _, s := range sections(c) {
		table := map[string]any{}
		for _, kv := range s.pairs {
			table[kv.key] = kv.value
		}
		if s.list {
			list, _ := root[s.name].([]any)
			root[s.name] = append(list, table)
		} else {
			root[s.name] = table
		}
	}
	text, err := json.MarshalIndent(root, "", " ")
	if err != nil {
		panic("record: " + err.Error())
	}
	return append(text, '\n')
}
