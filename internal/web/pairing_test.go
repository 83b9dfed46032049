package web

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/netip"
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

// TestGuessing: an address has one guess a second and few wrong ones, whatever others
// do; many wrong ones from everywhere make another code.
func TestGuessing(t *testing.T) {
	clock := time.Unix(1e9, 0)
	p := &pairing{nowFunc: func() time.Time { return clock }}
	p.renew()
	code := p.code
	wrong := "x" + code[1:]
	at := func(n int) netip.Prefix {
		return guesser(&http.Request{RemoteAddr: fmt.Sprintf("192.0.2.%d:%d", n%256, 5000+n)})
	}
	if _, why := p.guess(wrong, at(7)); why == "" {
		t.Fatal("a wrong code pairs")
	}
	if token, _ := p.guess(code, at(7)); token != "" {
		t.Error("a second guess within the second is looked at")
	}
	for range mostGuesses - 1 {
		clock = clock.Add(guessPause)
		p.guess(wrong, at(7))
	}
	clock = clock.Add(guessPause)
	if token, _ := p.guess(code, at(7)); token != "" {
		t.Error("an address that guessed wrong five times goes on")
	}
	if p.code != code {
		t.Error("one machine's guesses change the code")
	}
	if token, why := p.guess(code, at(8)); token == "" {
		t.Errorf("one machine's guesses keep another with the right code out: %s", why)
	}
	clock = clock.Add(guessRest + time.Second)
	if token, why := p.guess(p.code, at(7)); token == "" {
		t.Errorf("it may not try again after a rest: %s", why)
	}
	code = p.code
	for n := range mostWrong {
		p.guess("x", at(n+100))
	}
	if p.code == code {
		t.Error("the code stays after a hundred wrong ones from everywhere")
	}
}

// TestGuesser: addresses that one machine has many of count as one.
func TestGuesser(t *testing.T) {
	same := [][2]string{{"192.0.2.7:1", "192.0.2.7:2"}, {"[::ffff:192.0.2.7]:1", "192.0.2.7:2"},
		{"[2001:db8::1]:1", "[2001:db8::ffff:2]:9"}, {"[fe80::1%eth0]:1", "[fe80::1%eth1]:1"}}
	for _, s := range same {
		if guesser(&http.Request{RemoteAddr: s[0]}) != guesser(&http.Request{RemoteAddr: s[1]}) {
			t.Errorf("%s and %s count apart", s[0], s[1])
		}
	}
	if guesser(&http.Request{RemoteAddr: "192.0.2.7:1"}) == guesser(&http.Request{RemoteAddr: "192.0.2.8:1"}) {
		t.Error("two machines count as one")
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
