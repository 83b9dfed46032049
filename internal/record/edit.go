package record

import (
	"bytes"
	"path/filepath"
	"reflect"
	"strings"
)

// revise writes a case, whole as the program writes it, over the text that it
// was made of: only what differs is changed, so that comments, order and the way a
// value is written stay. A text that cannot be edited so is written anew, below
// its comments.
func revise(path string, old, whole []byte, c *Case) []byte {
	was, err := Decode(path, old)
	if err != nil {
		return whole
	}
	if strings.EqualFold(filepath.Ext(path), ".json") {
		if text := editJSON(old, jsonText(was), whole); means(path, text, whole) {
			return text
		}
		return whole
	}
	for _, explicit := range []bool{false, true} {
		if text := editTOML(old, tables(was), tables(c), explicit); means(path, text, whole) {
			return text
		}
	}
	return append(commentsOf(old), whole...)
}

// means tells whether a text reads as the case that is written as whole.
func means(path string, text, whole []byte) bool {
	back, err := Decode(path, text)
	if err != nil {
		return false
	}
	again, err := encode(path, back)
	return err == nil && bytes.Equal(again, whole)
}

// tables are the sections of a case with the keys before all of them as the first.
func tables(c *Case) []section {
	return append([]section{{pairs: headPairs(c)}}, sections(c)...)
}

// sameList pairs the entries of a list before and after a change: those of before
// that stay, each with its place after, or -1 for one that is gone. What is alike
// at both ends stays; of the rest as many are changed as there are of both.
func sameList(before, after []section) []int {
	n, m := len(before), len(after)
	head := 0
	for head < min(n, m) && reflect.DeepEqual(before[head], after[head]) {
		head++
	}
	tail := 0
	for tail < min(n, m)-head && reflect.DeepEqual(before[n-1-tail], after[m-1-tail]) {
		tail++
	}
	place := make([]int, n)
	for i := range place {
		switch {
		case i >= n-tail:
			place[i] = m - (n - i)
		case i < m-tail:
			place[i] = i
		default:
			place[i] = -1
		}
	}
	return place
}
