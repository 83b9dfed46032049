package session

import (
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"sort"
	"strings"
	"testing"

	"ohmward/internal/answer"
	"ohmward/internal/check"
)

// documented pairs each section of docs/json.md with the struct it tells of.
var documented = map[string]reflect.Type{
	"answer": reflect.TypeFor[answer.Header](), "cost": reflect.TypeFor[answer.Cost](), "board": reflect.TypeFor[answer.Board](),
	"layer": reflect.TypeFor[answer.Layer](), "holes": reflect.TypeFor[answer.Holes](), "net": reflect.TypeFor[answer.Net](),
	"part": reflect.TypeFor[answer.Part](), "tie": reflect.TypeFor[answer.Tie](), "metal": reflect.TypeFor[answer.Metal](), "file": reflect.TypeFor[answer.File](), "doubt": reflect.TypeFor[answer.Doubt](),
	"copy": reflect.TypeFor[answer.Copy](), "placed net": reflect.TypeFor[answer.PlacedNet](), "resistance": reflect.TypeFor[answer.Resistance](),
	"resistances": reflect.TypeFor[answer.Resistances](), "resistor": reflect.TypeFor[answer.Resistor](), "sensitivity": reflect.TypeFor[answer.Sensitivity](),
	"layer part": reflect.TypeFor[answer.LayerPart](), "tie part": reflect.TypeFor[answer.TiePart](), "spot part": reflect.TypeFor[answer.SpotPart](), "place": reflect.TypeFor[answer.Place](),
	"suspects": reflect.TypeFor[answer.Suspects](), "site": reflect.TypeFor[answer.Site](), "range": reflect.TypeFor[answer.Range](),
	"locate": reflect.TypeFor[answer.Location](), "best": reflect.TypeFor[answer.Best](), "fit": reflect.TypeFor[answer.Fit](),
	"next": reflect.TypeFor[answer.Next](), "repair": reflect.TypeFor[answer.Repair](), "reach": reflect.TypeFor[answer.Reach](),
	"practice": reflect.TypeFor[answer.Practice](), "step": reflect.TypeFor[answer.PracticeStep](),
	"current": reflect.TypeFor[answer.Current](), "share": reflect.TypeFor[answer.Share](), "hottest": reflect.TypeFor[answer.Hottest](),
	"reading fit": reflect.TypeFor[answer.ReadingFit](), "component": reflect.TypeFor[answer.Component](), "test": reflect.TypeFor[answer.Test](), "move": reflect.TypeFor[answer.Move](),
	"trial": reflect.TypeFor[answer.Trial](), "spread": reflect.TypeFor[answer.Spread](), "coverage": reflect.TypeFor[answer.Coverage](),
	"surest": reflect.TypeFor[answer.Surest](), "share right": reflect.TypeFor[answer.ShareRight](), "confident wrong": reflect.TypeFor[answer.ConfidentWrong](), "lowest reading": reflect.TypeFor[answer.LowestReading](),
	"bound": reflect.TypeFor[answer.Bound](), "trial fault": reflect.TypeFor[answer.TrialFault](),
	"failure": reflect.TypeFor[answer.Failure](), "fault": reflect.TypeFor[answer.Fault](),
	"version": reflect.TypeFor[answer.Version](),
	"meters":  reflect.TypeFor[answer.Meters](), "meter found": reflect.TypeFor[answer.MeterFound](), "meter reading": reflect.TypeFor[answer.MeterReading](),
	"meter identity": reflect.TypeFor[answer.MeterIdentity](), "meter sample": reflect.TypeFor[answer.MeterSample](),
	"meter watch": reflect.TypeFor[answer.MeterWatch](),
	"meter touch": reflect.TypeFor[answer.MeterTouch](), "practice run": reflect.TypeFor[answer.PracticeRun](), "practice unit": reflect.TypeFor[answer.PracticeUnit](),
	"practice served": reflect.TypeFor[answer.PracticeServed](),
	"page":            reflect.TypeFor[answer.Page](),
	"safe":            reflect.TypeFor[answer.Safe](), "heat": reflect.TypeFor[answer.Heat](),
}

// TestDocs holds docs/json.md against the structs, field by field and both
// ways, so that neither can change without the other.
func TestDocs(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(check.Root(t), "docs", "json.md"))
	if err != nil {
		t.Fatal(err)
	}
	sections := docSections(t, string(data))
	for name := range sections {
		if documented[name] == nil {
			t.Errorf("section %q tells of no answer", name)
		}
	}
	for name, typ := range documented {
		said, ok := sections[name]
		if !ok {
			t.Errorf("section %q is missing", name)
			continue
		}
		for _, what := range differences(said.fields, structFields(t, typ)) {
			t.Errorf("section %q: %s", name, what)
		}
		for _, part := range embedded(typ) {
			if !strings.Contains(said.text, fmt.Sprintf("[%s](#%s)", part, part)) {
				t.Errorf("section %q does not name the fields of %s that it shares", name, part)
			}
		}
	}
}

// differences lists what one table has and the other not.
func differences(said, are map[string]string) (list []string) {
	for field, kind := range are {
		if said[field] != kind {
			list = append(list, fmt.Sprintf("field %s is %q, the page says %q", field, kind, said[field]))
		}
	}
	for field := range said {
		if _, known := are[field]; !known {
			list = append(list, "no field "+field)
		}
	}
	sort.Strings(list)
	return list
}

type docSection struct {
	text   string
	fields map[string]string // type by name
}

// docSections reads the page: headings of the second level, and the rows of
// their tables.
func docSections(t *testing.T, page string) map[string]docSection {
	all := map[string]docSection{}
	for _, part := range strings.Split(page, "\n## ")[1:] {
		name, text, _ := strings.Cut(part, "\n")
		s := docSection{text: text, fields: map[string]string{}}
		for _, line := range strings.Split(text, "\n") {
			cells := strings.Split(line, "|")
			if len(cells) != 6 || !strings.HasPrefix(cells[1], " `") {
				continue
			}
			field := strings.Trim(cells[1], " `")
			if _, twice := s.fields[field]; twice {
				t.Errorf("section %q has %s twice", name, field)
			}
			s.fields[field] = strings.TrimSpace(cells[2])
			if length := strings.Contains(field, "_mm"); length && strings.TrimSpace(cells[3]) == "" {
				t.Errorf("section %q: %s has no unit", name, field)
			}
		}
		all[name] = s
	}
	return all
}

// structFields gives the JSON fields of a struct itself, without those of
// embedded ones, and how the page has to write their types.
func structFields(t *testing.T, typ reflect.Type) map[string]string {
	fields := map[string]string{}
	for i := range typ.NumField() {
		f := typ.Field(i)
		if f.Anonymous {
			continue
		}
		name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		if name == "" {
			t.Errorf("%s.%s has no JSON name", typ.Name(), f.Name)
		}
		kind, absent := f.Type, strings.Contains(options, "omit")
		pointer := kind.Kind() == reflect.Pointer
		if pointer {
			kind = kind.Elem()
		}
		words := typeWords(t, kind)
		switch {
		case absent:
			words += "; may be absent"
		case pointer:
			words += " or null"
		}
		fields[name] = words
	}
	return fields
}

func typeWords(t *testing.T, typ reflect.Type) string {
	switch typ.Kind() {
	case reflect.String:
		return "text"
	case reflect.Float64:
		return "number"
	case reflect.Int, reflect.Uint64:
		return "whole number"
	case reflect.Bool:
		return "true or false"
	case reflect.Slice:
		return "list of " + typeWords(t, typ.Elem())
	case reflect.Array:
		return fmt.Sprintf("list of %d %s", typ.Len(), typeWords(t, typ.Elem()))
	case reflect.Map:
		return "object of " + typeWords(t, typ.Elem())
	case reflect.Struct:
		for name, known := range documented {
			if known == typ {
				return fmt.Sprintf("[%s](#%s)", name, strings.ReplaceAll(name, " ", "-"))
			}
		}
	}
	t.Errorf("type %v has no section in docs/json.md", typ)
	return "?"
}

// embedded names the sections whose fields a struct shares.
func embedded(typ reflect.Type) (names []string) {
	for i := range typ.NumField() {
		for name, known := range documented {
			if f := typ.Field(i); f.Anonymous && known == f.Type {
				names = append(names, name)
			}
		}
	}
	return names
}
