package web

import (
	"fmt"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/artwork"
	"ohmward/internal/check"
)

// serverTypes are what the server sends, by the names that the page's own
// annotations have for them.
var serverTypes = []struct {
	name string
	of   any
}{
	{"View", answer.View{}}, {"BoardSummary", answer.BoardSummary{}}, {"Milestone", answer.Milestone{}},
	{"Card", answer.Card{}},
	{"Item", answer.Item{}}, {"Fact", answer.Fact{}}, {"ValueEntry", answer.Entry{}}, {"Choice", answer.Option{}},
	{"Target", answer.Target{}}, {"Place", answer.SpotWords{}}, {"Other", answer.Other{}},
	{"ReadingView", answer.Taken{}},
	{"Answer", answer.Where{}}, {"BestSite", answer.Best{}}, {"OhmsRange", answer.Range{}},
	{"PlaceView", answer.PlaceView{}},
	{"Focus", answer.Focus{}}, {"EarlyView", answer.Early{}},
	{"MeterView", answer.MeterView{}}, {"Live", answer.Live{}}, {"Trouble", answer.Trouble{}},
	{"Action", answer.Act{}},
	{"DoubtView", answer.DoubtView{}}, {"MendView", answer.ReadFailure{}}, {"FileView", answer.FileView{}},
	{"CopyView", answer.CopyView{}}, {"Figure", answer.Assumed{}}, {"Reply", answer.Reply{}},
	{"PronePair", answer.PronePair{}}, {"Found", answer.Found{}}, {"CaseLine", answer.CaseLine{}},
	{"StartAnswer", startAnswer{}}, {"Begun", begun{}},
	{"DrawingTable", artwork.Table{}}, {"DrawingLayer", artwork.Layer{}}, {"DrawingPart", artwork.Part{}},
	{"DrawingPad", artwork.Pad{}},
}

// TestServerTypes: the page's types of what the server sends are those that it
// sends.
func TestServerTypes(t *testing.T) {
	names := map[reflect.Type]string{reflect.TypeFor[time.Time](): "string"}
	for _, s := range serverTypes {
		names[reflect.TypeOf(s.of)] = s.name
	}
	var out strings.Builder
	out.WriteString("// What the server sends, as Go has it. Written by TestServerTypes -update.\n")
	for _, s := range serverTypes {
		fmt.Fprintf(&out, "\ninterface %s {\n", s.name)
		fields(t, &out, names, reflect.TypeOf(s.of))
		out.WriteString("}\n")
	}
	check.Golden(t, filepath.Join("pagecheck", "server.d.ts"), []byte(out.String()))
}

// fields writes the fields of a structure, those of an embedded one among them.
func fields(t *testing.T, out *strings.Builder, names map[reflect.Type]string, of reflect.Type) {
	t.Helper()
	for i := range of.NumField() {
		f := of.Field(i)
		tag, more, _ := strings.Cut(f.Tag.Get("json"), ",")
		switch {
		case f.Anonymous && tag == "":
			fields(t, out, names, f.Type)
			continue
		case tag == "-" || !f.IsExported():
			continue
		case tag == "":
			tag = f.Name
		}
		kind := f.Type
		if strings.Contains(more, "omit") {
			if tag += "?"; kind.Kind() == reflect.Pointer {
				kind = kind.Elem() // left out, never null
			}
		}
		fmt.Fprintf(out, "  %s: %s;\n", tag, written(t, names, kind))
	}
}

// written is how the page writes a type.
func written(t *testing.T, names map[reflect.Type]string, of reflect.Type) string {
	t.Helper()
	if name := names[of]; name != "" {
		return name
	}
	switch of.Kind() {
	case reflect.Bool:
		return "boolean"
	case reflect.String:
		return "string"
	case reflect.Int, reflect.Int64, reflect.Float64:
		return "number"
	case reflect.Pointer:
		return written(t, names, of.Elem()) + " | null"
	case reflect.Slice:
		return written(t, names, of.Elem()) + "[]"
	case reflect.Array:
		each := strings.Repeat(written(t, names, of.Elem())+", ", of.Len())
		return "[" + strings.TrimSuffix(each, ", ") + "]"
	}
	t.Errorf("the page has no name for %v", of)
	return "unknown"
}
