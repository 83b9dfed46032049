package web

import (
	"net"
	"net/http"
	"net/netip"
	"os"
	"strings"
)

// gate decides who may ask at all: only pages that this server itself served,
// under a name of this machine, and from other machines only paired ones.
type gate struct {
	hosts   map[string]bool // host:port under which the page may be asked for
	remote  bool            // other machines may pair
	cross   *http.CrossOriginProtection
	pairing pairing
}

// newGate lets in this machine alone.
func newGate(local net.Addr) *gate {
	g := &gate{hosts: map[string]bool{}, cross: http.NewCrossOriginProtection()}
	port := portOf(local)
	for _, name := range []string{"127.0.0.1", "localhost", "[::1]"} {
		g.hosts[name+":"+port] = true
	}
	return g
}

func portOf(a net.Addr) string {
	_, port, err := net.SplitHostPort(a.String())
	if err != nil {
		panic("web: an address without a port: " + a.String())
	}
	return port
}

// open lets other machines pair, under the addresses and the name of this one.
func (g *gate) open(far net.Addr) {
	g.remote = true
	g.pairing.renew()
	port := portOf(far)
	add := func(host string) { g.hosts[net.JoinHostPort(host, port)] = true }
	if name, err := os.Hostname(); err == nil {
		add(strings.ToLower(name))
		add(strings.ToLower(name) + ".local")
	}
	add("127.0.0.1")
	add("localhost")
	addresses, err := net.InterfaceAddrs()
	if err != nil {
		return
	}
	for _, a := range addresses {
		if p, err := netip.ParsePrefix(a.String()); err == nil {
			add(p.Addr().String())
		}
	}
}

// policy allows what the page itself carries and nothing else.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; " +
	"connect-src 'self'; worker-src 'self'; " +
	"base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// wrap puts the gate before a handler.
func (g *gate) wrap(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", "camera=(), microphone=(), geolocation=()")
		if !g.hosts[strings.ToLower(r.Host)] {
			refuse(w, "this bench is not found under the name "+strings.ToValidUTF8(r.Host, "?")+
				": use the address that ohmward bench printed")
			return
		}
		if why := g.foreign(r); why != "" {
			refuse(w, why)
			return
		}
		if !local(r) && !g.pairing.knows(r) && !free(r) {
			if r.URL.Path == "/" {
				http.Redirect(w, r, "/pair", http.StatusSeeOther)
				return
			}
			refuse(w, "this machine is not paired with the bench: open /pair and type the code that the bench shows")
			return
		}
		next.ServeHTTP(w, hastened(w, r))
	})
}

// foreign tells why a request comes from another site, or "".
func (g *gate) foreign(r *http.Request) string {
	const why = "a request from another site was refused"
	if g.cross.Check(r) != nil {
		return why
	}
	switch r.Header.Get("Sec-Fetch-Site") {
	case "", "same-origin", "none":
	default:
		if r.URL.Path != "/" || r.Header.Get("Sec-Fetch-Mode") != "navigate" { // a link to the page is no harm
			return why
		}
	}
	if o := r.Header.Get("Origin"); o != "" && o != "http://"+r.Host {
		return why
	}
	return ""
}

// local tells whether a request comes from this machine.
func local(r *http.Request) bool {
	a, err := netip.ParseAddrPort(r.RemoteAddr)
	return err == nil && a.Addr().Unmap().IsLoopback()
}

// free tells whether a request may come from a machine not paired yet: the
// page on which it pairs.
func free(r *http.Request) bool {
	switch r.URL.Path {
	case "/pair", "/page/look.css", "/page/pair.js", "/page/pair.css":
		return true
	}
	return false
}

func refuse(w http.ResponseWriter, why string) {
	fail(w, http.StatusForbidden, "refused", why, "")
}
