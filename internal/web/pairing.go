package web

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/hex"
	"fmt"
	"math/big"
	"net/http"
	"sync"
	"time"
)

// pairing lets other machines in by a code that the bench shows. Guesses are
// few: after mostGuesses wrong ones the code is a new one, and no guess is
// looked at sooner than guessPause after the last.
type pairing struct {
	mu      sync.Mutex
	code    string
	wrong   int
	last    time.Time
	tokens  map[string]bool
	nowFunc func() time.Time // the clock of tests; nil: time.Now
}

const (
	mostGuesses = 5
	guessPause  = time.Second
	mostPaired  = 32
	cookieName  = "ohmward-bench"
)

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
func (p *pairing) guess(code string) (token, why string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	now := p.now()
	switch {
	case p.code == "":
		return "", "this bench lets no other machine in"
	case now.Sub(p.last) < guessPause:
		return "", "one try a second: wait a moment, then type the code again"
	case len(p.tokens) >= mostPaired:
		return "", "as many machines as may are paired: start the bench anew"
	}
	p.last = now
	if subtle.ConstantTimeCompare([]byte(code), []byte(p.code)) != 1 {
		if p.wrong++; p.wrong >= mostGuesses {
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
	token, why := g.pairing.guess(asked.Code)
	if why != "" {
		fail(w, http.StatusForbidden, "refused", why, "")
		return
	}
	http.SetCookie(w, &http.Cookie{Name: cookieName, Value: token, Path: "/", HttpOnly: true,
		SameSite: http.SameSiteStrictMode, MaxAge: 12 * 3600})
	reply(w, map[string]bool{"paired": true})
}
