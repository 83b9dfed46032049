package gerber

import (
	"reflect"
	"testing"
)

func TestAttributes(t *testing.T) {
	const extended = header + `%TF.FileFunction,Copper,L1,Top*%
%TF.Part,Single*%
%TA.AperFunction,SMDPad,CuDef*%
%ADD10R,1X1*%
%TA.AperFunction,ViaPad*%
%ADD11C,0.5*%
%TD*%
%ADD12C,0.2*%
D10*
%TO.P,U1,3,RX\u002CTX*%
%TO.N,A\u002FB*%
X0Y0D03*
D11*
%TD.P*%
X1000000D03*
%TO.N,*%
D12*
X0Y0D02*
G01X5D01*
%TO.N,N1,N2*%
%TA.AperFunction,Conductor*%
%TO.C,R7*%
G36*X0Y0D02*X5D01*Y5D01*X0Y0D01*G37*
%TD*%
X0Y0D03*
M02*
`
	want := []Object{
		{Function: []string{"SMDPad", "CuDef"}, Nets: []string{"A/B"}, Ref: "U1", Pin: "3", PinName: "RX,TX"},
		{Function: []string{"ViaPad"}, Nets: []string{"A/B"}},
		{Nets: []string{""}},
		{Function: []string{"Conductor"}, Nets: []string{"N1", "N2"}, Ref: "R7"},
		{},
	}
	comment := ""
	for _, line := range splitLines(extended) {
		if len(line) > 3 && line[:2] == "%T" {
			line = "G04 #@! " + line[1:len(line)-1]
		}
		comment += line + "\n"
	}
	for name, text := range map[string]string{"extended": extended, "comment": comment} {
		img := mustRead(t, text)
		if len(img.Objects) != len(want) || len(img.Warnings) > 0 {
			t.Fatalf("%s: %d objects, warnings %v", name, len(img.Objects), img.Warnings)
		}
		for i, o := range img.Objects {
			got := Object{Function: o.Function, Nets: o.Nets, Ref: o.Ref, Pin: o.Pin, PinName: o.PinName}
			if !reflect.DeepEqual(got, want[i]) {
				t.Errorf("%s: object %d: got %+v, want %+v", name, i, got, want[i])
			}
		}
		if ff := img.Attributes[".FileFunction"]; !reflect.DeepEqual(ff, []string{"Copper", "L1", "Top"}) {
			t.Errorf("%s: file function %q", name, ff)
		}
	}
}

func splitLines(s string) (out []string) {
	for from, i := 0, 0; i < len(s); i++ {
		if s[i] == '\n' {
			out = append(out, s[from:i])
			from = i + 1
		}
	}
	return out
}

func TestUnescape(t *testing.T) {
	for s, want := range map[string]string{
		`plain`: `plain`, `a\u002Cb`: `a,b`, `\u00B5F`: "µF", `\U0001F600`: "\U0001F600",
		`\u00`: `\u00`, `\uZZZZ`: `\uZZZZ`, `\\`: `\\`, `end\`: `end\`, `{slash}`: `{slash}`, `\uD800`: `\uD800`,
	} {
		if got := unescape(s); got != want {
			t.Errorf("%q: got %q, want %q", s, got, want)
		}
	}
}

// TestBlockAttributes: labels given at the flash win over those inside.
func TestBlockAttributes(t *testing.T) {
	img := mustRead(t, header+"%ADD10C,1*%%ABD11*%D10*%TO.N,IN*%X0Y0D03*%TD*%%AB*%D11*X0Y0D03*%TO.N,OUT*%X5D03*M02*")
	if img.Objects[0].Nets[0] != "IN" || img.Objects[1].Nets[0] != "OUT" {
		t.Errorf("nets %v, %v", img.Objects[0].Nets, img.Objects[1].Nets)
	}
}
