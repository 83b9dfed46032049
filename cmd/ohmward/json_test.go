package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"
)

// answers PATH... checks that standard output is one JSON object that has
// every path: "nets.name" is the name of each net of a list that is not
// empty, "best=null" wants a value.
func answers(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) == 0 {
		ts.Fatalf("usage: answers PATH...")
	}
	dec := json.NewDecoder(strings.NewReader(ts.ReadFile("stdout")))
	var root map[string]any
	if err := dec.Decode(&root); err != nil {
		ts.Fatalf("answers: standard output is no JSON object: %v", err)
	}
	if _, err := dec.Token(); err != io.EOF {
		ts.Fatalf("answers: something follows the JSON object")
	}
	for _, arg := range args {
		path, want, valued := strings.Cut(arg, "=")
		got, err := follow(root, strings.Split(path, "."))
		if err != nil {
			ts.Fatalf("answers: %s: %v", path, err)
		}
		if text := fmt.Sprint(got); valued && text != want && !(got == nil && want == "null") {
			ts.Fatalf("answers: %s is %s, want %s", path, text, want)
		}
	}
}

// follow goes down a path, through every element of a list that the path does
// not number, and gives the value at the end of the first way.
func follow(v any, path []string) (any, error) {
	if list, isList := v.([]any); isList && len(path) > 0 {
		if len(list) == 0 {
			return nil, fmt.Errorf("the list before %q is empty", path[0])
		}
		if n, err := strconv.Atoi(path[0]); err == nil {
			if n >= len(list) {
				return nil, fmt.Errorf("the list has no element %d", n)
			}
			return follow(list[n], path[1:])
		}
		for i := range list {
			if _, err := follow(list[i], path); err != nil {
				return nil, fmt.Errorf("element %d: %w", i, err)
			}
		}
		return follow(list[0], path)
	}
	if len(path) == 0 {
		return v, nil
	}
	object, _ := v.(map[string]any)
	child, known := object[path[0]]
	if !known {
		return nil, fmt.Errorf("no key %q", path[0])
	}
	return follow(child, path[1:])
}
