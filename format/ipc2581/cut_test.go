package ipc2581

import (
	"reflect"
	"strings"
	"testing"
)

// A file cut off after copper gives what came before, exactly as the whole
// file has it; before any copper there is nothing to show.
func TestCutOff(t *testing.T) {
	pads := strings.Repeat(`<Pad padstackDefRef="via"><Location x="1" y="1"/></Pad><Features>`+el+`</Features>`, 5)
	m := made{step: via + parts, bom: bom, features: pads}
	text := m.text()
	all := m.read(t)
	first := strings.Index(text, "<LayerFeature")
	for at := 0; at < len(text); at += 3 {
		d, err := Read(strings.NewReader(text[:at]), "cut.xml")
		if err != nil {
			if class, _, says := outcome(d, err); class != "malformed" || at > 0 && !strings.Contains(says, "cut off") && !strings.Contains(says, "empty") {
				t.Fatalf("%q: %v", text[max(0, at-40):at], err)
			}
			if at > first+250 {
				t.Fatalf("nothing of %d bytes of copper: %v", at-first, err)
			}
			continue
		}
		if at < first || strings.Contains(text[:at], "</IPC-2581>") == (d.CutOff > 0) {
			t.Fatalf("byte %d (copper begins at %d): cut off in line %d", at, first, d.CutOff)
		}
		got, want := d.Layers[0].Objects, all.Layers[0].Objects
		if len(got) == 0 || len(got) > len(want) || !reflect.DeepEqual(got, want[:len(got)]) {
			t.Fatalf("byte %d: %d objects that are not the first of the whole file's", at, len(got))
		}
		if !reflect.DeepEqual(d.Components, all.Components) {
			t.Fatalf("byte %d: parts %v", at, d.Components)
		}
	}
}
