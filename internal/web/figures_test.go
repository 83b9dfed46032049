package web

import (
	"math"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"ohmward/internal/answer"
	"ohmward/unit"
)

func figure(t *testing.T, v answer.View, key string) answer.Assumed {
	t.Helper()
	for _, f := range v.Board.Figures {
		if f.Key == key {
			return f
		}
	}
	t.Fatalf("no figure %s among %+v", key, v.Board.Figures)
	return answer.Assumed{}
}

// between asks what two places should read.
func between(t *testing.T, s *Server, id, from, to string) (ohms unit.Resistance, told answer.Reply) {
	t.Helper()
	told = call[answer.Reply](t, s, "GET",
		"/api/cases/"+id+"/between?from="+url.QueryEscape(from)+"&to="+url.QueryEscape(to), nil)
	ohms, err := unit.ParseReading(told.Facts[0].Value)
	if err != nil {
		t.Fatal(err)
	}
	return ohms, told
}

// TestFigures: what a case is worked out with is said otherwise on the page:
// copper twice as thick halves what a track should read, a bead said to be
// open no longer joins its nets, a metal body is marked; wrong ones are refused
// in words; all of it is kept over a restart and taken back by nothing.
func TestFigures(t *testing.T) {
	if testing.Short() {
		t.Skip("works the copper out anew for each figure: some seconds")
	}
	s := newTest(t, "")
	id := call[begun](t, s, "POST", "/api/cases", map[string]bool{"demo": true}).ID
	ready(t, s, id)
	from, to := "C9.1", "FB1.1"
	if f := call[[]answer.Found](t, s, "GET", "/api/cases/"+id+"/find?q="+to,
		nil); f[0].Net != call[[]answer.Found](t, s, "GET", "/api/cases/"+id+"/find?q="+from, nil)[0].Net {
		to = "FB1.2"
	}
	thin, told := between(t, s, id, from, to)
	if len(told.Facts) < 5 || !strings.Contains(strings.Join(told.Words, " "), "voltage limit") {
		t.Errorf("told %+v", told)
	}
	say := func(key, text string) answer.View {
		return tell(t, s, id, answer.Act{Do: "assume", Place: key, Text: text})
	}
	if f := figure(t, say("copper", "70um"), "copper"); f.Value != "70 µm" || f.Said != "70 µm" {
		t.Errorf("copper %+v", f)
	}
	say("plating", "50um")
	if thick, _ := between(t, s, id, from, to); math.Abs(float64(thick/thin)-0.5) > 0.01 {
		t.Errorf("%v at 35 µm, %v at 70 µm", thin, thick)
	}
	if f := figure(t, say("tie FB1", "open"), "tie FB1"); f.Value != "joins nothing" || f.Said != "open" {
		t.Errorf("bead %+v", f)
	}
	say("metal J5", "GND")
	v := say("temp", "35C")
	for key, text := range map[string]string{"copper": "0.1um", "plating": "12V", "temp": "900C",
		"ties": "perhaps", "meter": "a good one", "noise": "-1", "tie R99": "0.1", "metal J77": "GND",
		"tip": "1m", "weight": "3"} {
		w := s.do(s.request("POST", "/api/cases/"+id+"/act",
			encoded(t, answer.Act{Revision: v.Revision, Do: "assume", Place: key, Text: text})))
		if w.Code != http.StatusBadRequest && w.Code != http.StatusUnprocessableEntity ||
			len(w.Body.String()) < 40 {
			t.Errorf("%s = %s: %d %s", key, text, w.Code, w.Body)
		}
	}
	s = anew(t, s)
	v = ready(t, s, id)
	if figure(t, v, "temp").Value != "35 °C" || figure(t, v, "metal J5").Said != "GND" ||
		figure(t, v, "plating").Said != "50 µm" {
		t.Errorf("after a restart: %+v", v.Board.Figures)
	}
	for _, key := range []string{"copper", "plating", "tie FB1", "metal J5", "temp"} {
		v = tell(t, s, id, answer.Act{Do: "assume", Place: key})
	}
	if f := figure(t, v, "copper"); f.Value != "35 µm" || f.Said != "" {
		t.Errorf("taken back: %+v", f)
	}
	if again, _ := between(t, s, id, from, to); again != thin {
		t.Errorf("taken back, it should read %v, was %v", again, thin)
	}
}

// TestTrialAsked: a trial between the two nets is told in words; before they
// are chosen there is none.
func TestTrialAsked(t *testing.T) {
	if testing.Short() {
		t.Skip("hides shorts and finds them: some seconds")
	}
	s := newTest(t, "")
	id := call[begun](t, s, "POST", "/api/practice", map[string]int{"unit": 2}).ID
	ready(t, s, id)
	told := call[answer.Reply](t, s, "POST", "/api/cases/"+id+"/trial", map[string]int{"faults": 4})
	if len(told.Facts) < 5 || !strings.HasPrefix(told.Words[0], "4 shorts invented between ") {
		t.Errorf("told %+v", told)
	}
	id = call[begun](t, s, "POST", "/api/cases", map[string]bool{"demo": true}).ID
	ready(t, s, id)
	if w := s.do(s.request("POST", "/api/cases/"+id+"/trial",
		strings.NewReader(`{"faults":4}`))); w.Code != http.StatusBadRequest ||
		!strings.Contains(w.Body.String(), "two nets first") {
		t.Errorf("without nets: %d %s", w.Code, w.Body)
	}
}
