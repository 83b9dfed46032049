package record

import (
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"ohmward/unit"
)

// Touches off a wire, overloads among their samples, come back as they were
// written, in both forms.
func TestWireTouches(t *testing.T) {
	spread, span, null, nplc := unit.Resistance(2e-5), unit.Resistance(100), unit.Resistance(0.0781), 1.0
	c := &Case{Board: Demo, Nets: [2]string{"+3V3", "GND"}, Steps: &Steps{MeterAt: "TCPIP0::192.0.2.7::5025::SOCKET"},
		Touches: []Touch{
			{Of: "null", Number: 1, Ohms: 0.0781, Meter: "MAKER MODEL 7 1.0", At: time.Date(2026, 3, 2, 14, 5, 0, 0, time.UTC),
				Samples: []unit.Resistance{unit.Open, 0.0799, 0.0781, 0.0781}, After: []float64{0, 0.1, 0.21, 0.333}},
			{Of: "reading", Number: 3, Ohms: -0.0001, Spread: &spread, FourWire: true, Range: &span, NPLC: &nplc, Null: &null},
			{Of: "across", Ohms: 23.7e3},
		}}
	for _, name := range []string{"case.toml", "case.json"} {
		path := filepath.Join(t.TempDir(), name)
		if err := create(path, c); err != nil {
			t.Fatal(err)
		}
		got, err := Read(path)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(got.Touches, c.Touches) || got.Steps.MeterAt != c.Steps.MeterAt {
			t.Errorf("%s: got %+v, %+v", name, got.Touches, got.Steps)
		}
	}
	for text, want := range map[string]string{
		"of = \"nul\"\nohms = 1":                                                  `did you mean "null"`,
		"of = \"null\"":                                                           "needs of and ohms",
		"of = \"null\"\nohms = 1\nnr = 1":                                         `unknown key "nr"`,
		"of = \"null\"\nohms = 1\nat = 3":                                         "not a time",
		"of = \"reading\"\nohms = 1\nnumber = 1.5":                                "no whole number",
		"of = \"null\"\nohms = 1\nsample_ohms = [1, 2]\nsample_s = [1]":           "sample_ohms has 2 values, sample_s 1",
		"of = \"null\"\nohms = 1\nsample_ohms = 1":                                "not a list of numbers",
		"of = \"null\"\nohms = 1\nsample_s = [" + strings.Repeat("1,", 201) + "]": "at most 200",
	} {
		_, err := Decode("case.toml", []byte("board = \"demo\"\nnets = [\"A\", \"B\"]\n[[touch]]\n"+text))
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", text, err, want)
		}
	}
}
