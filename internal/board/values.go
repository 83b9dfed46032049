package board

import (
	"bytes"
	"encoding/csv"
	"strings"
)

// Column titles that tell part references and values, in lower case.
var (
	refTitles   = []string{"ref", "refs", "reference", "references", "designator", "refdes", "ref des", "reference designator"}
	valueTitles = []string{"val", "value", "comment"}
)

// readValues takes part values from a parts list or placement list: a table
// with a column of references and one of values. Nil when it is no such
// table.
func readValues(data []byte) map[string]string {
	comma := tableComma(data)
	if comma == 0 {
		return nil
	}
	r := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))))
	r.Comma, r.FieldsPerRecord, r.LazyQuotes = comma, -1, true
	title, err := r.Read()
	if err != nil {
		return nil
	}
	ref, val := column(title, refTitles), column(title, valueTitles)
	if ref < 0 || val < 0 {
		return nil
	}
	out := map[string]string{}
	for {
		row, err := r.Read()
		if err != nil {
			return out
		}
		if ref >= len(row) || val >= len(row) {
			continue
		}
		for _, name := range strings.FieldsFunc(row[ref], func(c rune) bool { return c == ',' || c == ' ' || c == ';' }) {
			out[name] = strings.TrimSpace(row[val])
		}
	}
}

// tableComma guesses the separator from the first line; 0: no table.
func tableComma(data []byte) rune {
	line, _, _ := bytes.Cut(data, []byte("\n"))
	for _, c := range ",;\t" {
		if bytes.ContainsRune(line, c) {
			return c
		}
	}
	return 0
}

func column(title []string, wanted []string) int {
	for i, t := range title {
		t = strings.ToLower(strings.TrimSpace(t))
		for _, w := range wanted {
			if t == w {
				return i
			}
		}
	}
	return -1
}
