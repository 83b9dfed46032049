package web

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"
)

// fromAfar makes a request from another machine.
func (s *Server) fromAfar(method, path, body string) *http.Request {
	host := "127.0.0.1:" + portOf(s.listen[1].Addr())
	r := httptest.NewRequest(method, "http://"+host+path, strings.NewReader(body))
	r.RemoteAddr = "192.0.2.7:5000"
	if method == "POST" {
		r.Header.Set("Origin", "http://"+host)
	}
	return r
}

func paired(t *testing.T, w *httptest.ResponseRecorder) *http.Cookie {
	t.Helper()
	c := w.Result().Cookies()
	if w.Code != http.StatusOK || len(c) != 1 {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	if !c[0].HttpOnly || c[0].SameSite != http.SameSiteStrictMode {
		t.Errorf("cookie %+v", c[0])
	}
	return c[0]
}

// TestPairing: another machine sees nothing until it has typed the code; the
// code pairs one machine.
func TestPairing(t *testing.T) {
	s := newTest(t, "127.0.0.1:0")
	clock := time.Unix(1e9, 0)
	s.gate.pairing.nowFunc = func() time.Time { return clock }
	if w := s.do(s.fromAfar("GET", "/api/start", "")); w.Code != http.StatusForbidden {
		t.Errorf("unpaired: %d", w.Code)
	}
	if w := s.do(s.fromAfar("GET", "/", "")); w.Code != http.StatusSeeOther ||
		w.Header().Get("Location") != "/pair" {
		t.Errorf("unpaired page: %d", w.Code)
	}
	code := s.Code()
	cookie := paired(t, s.do(s.fromAfar("POST", "/pair", fmt.Sprintf(`{"code":%q}`, code))))
	r := s.fromAfar("GET", "/api/start", "")
	r.AddCookie(cookie)
	w := s.do(r)
	if w.Code != http.StatusOK || strings.Contains(w.Body.String(), s.Code()) {
		t.Errorf("paired: %d %s", w.Code, w.Body)
	}
	clock = clock.Add(guessPause)
	if w := s.do(s.fromAfar("POST", "/pair", fmt.Sprintf(`{"code":%q}`, code))); w.Code != http.StatusForbidden {
		t.Errorf("the same code again: %d", w.Code)
	}
}

// TestGuessing: guesses are one a second, and after five wrong ones the code
// is another.
func TestGuessing(t *testing.T) {
	clock := time.Unix(1e9, 0)
	p := &pairing{nowFunc: func() time.Time { return clock }}
	p.renew()
	first := p.code
	wrong := "x" + first[1:]
	if _, why := p.guess(wrong); why == "" {
		t.Fatal("a wrong code pairs")
	}
	if token, _ := p.guess(first); token != "" {
		t.Error("a second guess within the second is looked at")
	}
	for range mostGuesses - 1 {
		clock = clock.Add(guessPause)
		p.guess(wrong)
	}
	clock = clock.Add(guessPause)
	if token, _ := p.guess(first); token != "" {
		t.Error("the first code still pairs after five wrong ones")
	}
	clock = clock.Add(guessPause)
	if token, why := p.guess(p.code); token == "" {
		t.Errorf("the code that is shown then does not pair: %s", why)
	}
}

// TestNobodyPairs: without --listen there is no code to guess.
func TestNobodyPairs(t *testing.T) {
	s := newTest(t, "")
	if s.Code() != "" {
		t.Error("there is a code")
	}
	r := s.request("POST", "/pair", strings.NewReader(`{"code":""}`))
	if w := s.do(r); w.Code != http.StatusForbidden {
		t.Errorf("an empty code: %d", w.Code)
	}
}
