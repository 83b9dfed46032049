package scan

import (
	"fmt"
	"strings"
	"testing"
)

func TestLines(t *testing.T) {
	for text, want := range map[string]string{
		"":               "",
		"a":              "1 a open",
		"a\nb\r\nc\rd":   "1 a, 2 b, 3 c, 4 d open",
		"a\n\n\r\rb\r\n": "1 a, 2 , 3 , 4 , 5 b",
	} {
		var got []string
		for l := range Lines([]byte(text)) {
			s := fmt.Sprintf("%d %s", l.Number, l.Text)
			if l.Open {
				s += " open"
			}
			got = append(got, s)
		}
		if strings.Join(got, ", ") != want {
			t.Errorf("%q: got %q, want %s", text, got, want)
		}
	}
	for l := range Lines([]byte("a\nb\n")) {
		if l.Number > 1 {
			t.Error("the second line is given after a break")
		}
		break
	}
}

func TestNumbers(t *testing.T) {
	for s, want := range map[string]float64{"1": 1, " -.5 ": -0.5, "+3.": 3} {
		if v, ok := Decimal(s); !ok || v != want {
			t.Errorf("%q: got %v %v, want %v", s, v, ok, want)
		}
	}
	for _, s := range []string{"", " ", "1e5", "0x1", "1..2", "+-1", "inf", "1 2", strings.Repeat("9", 400)} {
		if v, ok := Decimal(s); ok {
			t.Errorf("%q: got %v, want none", s, v)
		}
	}
	if n, ok := Whole(" -12 "); !ok || n != -12 {
		t.Errorf("got %d %v", n, ok)
	}
	if n, ok := Whole("1.5"); ok {
		t.Errorf("got %d, want none", n)
	}
}
