package web

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/hex"
	"fmt"
	"math/big"
	"net/http"
	"net/netip"
	"sync"
	"time"
)

// pairing lets other machines in by a code that the bench shows. Guesses are few,
// and counted by where they come from, so that nobody's wrong ones keep the right one
// out: an address has one try a second, and after mostGuesses wrong ones none for
// guessRest. After mostWrong wrong ones from everywhere the code is a new one.
type pairing struct {
	mu      sync.Mutex
	code    string
	wrong   int // since the code was drawn
	from    map[netip.Prefix]*guesses
	tokens  map[string]bool
	nowFunc func() time.Time // the clock of tests; nil: time.Now
}

// guesses are what came from one address.
type guesses struct {
	wrong int
	last  time.Time
}

const (
	mostGuesses = 5
	guessPause  = time.Second
	guessRest   = 10 * time.Minute
	mostWrong   = 100
	mostGuesser = 4096 // addresses that are kept count of
	mostPaired  = 32
	cookieName  = "ohmward-bench"
)

// guesser is what guesses of a request are counted by: its address, of which in the
// sixth version of the protocol a machine has as many as it likes within a /64.
func guesser(r *http.Request) netip.Prefix {
	a, err := netip.ParseAddrPort(r.RemoteAddr)
	if err != nil {
		return netip.Prefix{}
	}
	at := a.Addr().Unmap().WithZone("")
	bits := at.BitLen()
	if at.Is6() {
		bits = 64
	}
	p, err := at.Prefix(bits)
	if err != nil {
		return netip.Prefix{}
	}
	return p
}

// of gives the count of an address, forgetting those that have rested.
func (p *pairing) of(from netip.Prefix, now time.Time) *guesses {
	for a, g := range p.from {
		if now.Sub(g.last) > guessRest {
			delete(p.from, a)
		}
	}
	if p.from == nil {
		p.from = map[netip.Prefix]*guesses{}
	}
	g := p.from[from]
	if g == nil && len(p.from) < mostGuesser {
		g = &guesses{}
		p.from[from] = g
	}
	return g
}

func (p *pairing) now() time.Time {
	if p.nowFunc != nil {
		return p.nowFunc()
	}
	return time.Now()
}

// renew draws a new code; machines paired before stay paired.
func (p *pairing) renew() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.draw()
}

func (p *pairing) draw() {
	n, err := rand.Int(rand.Reader, big.NewInt(1_000_000))
	if err != nil {
		panic("web: no randomness: " + err.Error())
	}
	p.code, p.wrong = fmt.Sprintf("%06d", n), 0
}

// code is what the bench shows; "" where nobody may pair.
func (g *gate) code() string {
	g.pairing.mu.Lock()
	defer g.pairing.mu.Unlock()
	return g.pairing.code
}

// knows tells whether a request carries the mark of a paired machine.
func (p *pairing) knows(r *http.Request) bool {
	c, err := r.Cookie(cookieName)
	if err != nil {
		return false
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.tokens[c.Value]
}

// guess looks at a code; a right one gives a token.
func (p *pairing) guess(code string, from netip.Prefix) (token, why string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	now := p.now()
	g := p.of(from, now)
	switch {
	case p.code == "":
		return "", "this bench lets no other machine in"
	case g == nil:
		return "", "too many machines are guessing: wait ten minutes, or start the bench anew"
	case now.Sub(g.last) < guessPause:
		return "", "one try a second: wait a moment, then type the code again"
	case g.wrong >= mostGuesses:
		return "", "too many wrong codes from this machine: wait ten minutes"
	case len(p.tokens) >= mostPaired:
		return "", "as many machines as may are paired: start the bench anew"
	}
	g.last = now
	if subtle.ConstantTimeCompare([]byte(code), []byte(p.code)) != 1 {
		g.wrong++
		if p.wrong++; p.wrong >= mostWrong {
			p.draw()
			return "", "too many wrong codes: the bench shows a new one now"
		}
		return "", "that is not the code that the bench shows"
	}
	var secret [32]byte
	if _, err := rand.Read(secret[:]); err != nil {
		return "", "no token could be drawn"
	}
	if p.tokens == nil {
		p.tokens = map[string]bool{}
	}
	token = hex.EncodeToString(secret[:])
	p.tokens[token] = true
	p.draw() // a code pairs one machine
	return token, ""
}

// pair answers a typed code.
func (g *gate) pair(w http.ResponseWriter, r *http.Request) {
	var asked struct {
		Code string `json:"code"`
	}
	if !decode(w, r, &asked) {
		return
	}
	token, why := g.pairing.guess(asked.Code, guesser(r))
	if why != "" {
		fail(w, http.StatusForbidden, "refused", why, "")
		return
	}
	http.SetCookie(w, &http.Cookie{Name: cookieName, Value: token, Path: "/", HttpOnly: true,
		SameSite: http.SameSiteStrictMode, MaxAge: 12 * 3600})
	reply(w, map[string]bool{"paired": true})
}
