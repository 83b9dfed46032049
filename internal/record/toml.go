package record

import (
	"errors"
	"fmt"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"
)

// parseTOML decodes the file in two passes: the parser is walked for the line of
// each key, and refuses those that would cost time without end; then go-toml checks
// it all and gives the values.
func parseTOML(file string, data []byte) (*node, error) {
	var values map[string]any
	lines, tooLarge := tomlLines(file, data)
	if tooLarge != nil {
		return nil, tooLarge
	}
	if err := toml.Unmarshal(data, &values); err != nil {
		return nil, tomlError(file, err)
	}
	return grow(file, values, "", lines, 1, 0)
}

func tomlError(file string, err error) error {
	what := strings.TrimPrefix(err.Error(), "toml: ")
	var d *toml.DecodeError
	if errors.As(err, &d) {
		row, _ := d.Position()
		return &Error{file, row, what}
	}
	return &Error{File: file, What: what}
}

// maxPaths is how many bytes the paths of all keys may have together; those of a
// case have some twenty each.
const maxPaths = 4 * maxFile

// tomlLines maps each key's path, as "reading[2].ohms", to its line, as far as the
// text is TOML. A path of many or long parts is an error: the paths of its tables
// and keys together grow by the square of its length.
func tomlLines(file string, data []byte) (map[string]int, error) {
	lines := map[string]int{}
	counts := map[string]int{}
	var p unstable.Parser
	p.Reset(data)
	table, inTable, room := "", 0, maxPaths
	for p.NextExpression() {
		e := p.Expression()
		path, parts := "", 0
		if e.Kind == unstable.KeyValue {
			path, parts = table, inTable
		}
		line := 0
		for it := e.Key(); it.Next(); {
			n := it.Node()
			line = p.Shape(n.Raw).Start.Line
			if parts++; parts > maxDepth {
				return nil, tooDeep(file, line)
			}
			if room -= len(path) + len(n.Data); room < 0 {
				return nil, &Error{file, line, "its keys are too long: no case file"}
			}
			path = join(path, string(n.Data))
			last := it.IsLast()
			if last && e.Kind == unstable.ArrayTable {
				counts[path]++
			}
			if c := counts[path]; c > 0 {
				path = index(path, c-1)
			}
			if _, known := lines[path]; !known {
				lines[path] = line
			}
		}
		if e.Kind != unstable.KeyValue {
			table, inTable = path, parts
		}
	}
	return lines, nil
}

func tooDeep(file string, line int) error {
	return &Error{file, line, fmt.Sprintf("is nested more than %d deep", maxDepth)}
}

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}

func index(path string, i int) string { return fmt.Sprintf("%s[%d]", path, i) }

// grow turns decoded values into a tree; a value whose line is not known has
// its parent's.
func grow(file string, v any, path string, lines map[string]int, line, depth int) (*node, error) {
	if l, known := lines[path]; known {
		line = l
	}
	if depth > maxDepth {
		return nil, tooDeep(file, line)
	}
	n := &node{line: line, value: v}
	switch v := v.(type) {
	case map[string]any:
		m := make(map[string]*node, len(v))
		for _, key := range sortedKeys(v) {
			child, err := grow(file, v[key], join(path, key), lines, line, depth+1)
			if err != nil {
				return nil, err
			}
			m[key] = child
		}
		n.value = m
	case []any:
		list := make([]*node, len(v))
		for i := range v {
			child, err := grow(file, v[i], index(path, i), lines, line, depth+1)
			if err != nil {
				return nil, err
			}
			list[i] = child
		}
		n.value = list
	case int64:
		n.value = float64(v)
	}
	return n, nil
}
