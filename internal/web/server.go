package web

import (
	"context"
	"errors"
	"fmt"
	"log"
	"net"
	"net/http"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/session"
)

// Options say how the page is served.
type Options struct {
	Port   int          // on this machine; 0 takes a free one
	Listen string       // an address for other machines, as "192.168.1.5:8750"; "" for none
	Errors func(string) // told what went wrong inside, one line; may be nil
}

// Server is the page and what answers it.
type Server struct {
	folder *session.CaseFolder
	gate   *gate
	mux    http.Handler
	http   *http.Server
	listen []net.Listener
	errors func(string)
}

// New opens the ports; nothing is served before Serve.
func New(shelf *session.CaseFolder, o Options) (*Server, error) {
	s := &Server{folder: shelf, errors: o.Errors}
	if s.errors == nil {
		s.errors = func(string) {}
	}
	local, err := net.Listen("tcp", fmt.Sprintf("127.0.0.1:%d", o.Port))
	if err != nil {
		return nil, &answer.Error{Kind: answer.Bad,
			What: fmt.Sprintf("port %d of this machine is taken or not allowed: %v", o.Port, err),
			Hint: fmt.Sprintf("a bench may be open there already: its page is http://127.0.0.1:%d/; "+
				"a second bench: --port 0", o.Port)}
	}
	s.listen = append(s.listen, local)
	s.gate = newGate(local.Addr())
	if o.Listen != "" {
		far, err := net.Listen("tcp", o.Listen)
		if err != nil {
			local.Close()
			return nil, &answer.Error{Kind: answer.Bad, What: fmt.Sprintf("--listen %s: %v", o.Listen, err),
				Hint: "give an address of this machine and a port, as --listen 192.168.1.5:8750"}
		}
		s.listen = append(s.listen, far)
		s.gate.open(far.Addr())
	}
	s.mux = s.gate.wrap(s.routes())
	s.http = &http.Server{
		Handler: s.mux, ReadHeaderTimeout: 10 * time.Second, IdleTimeout: 2 * time.Minute, MaxHeaderBytes: 32 << 10,
		ErrorLog: log.New(lines(s.errors), "", 0),
	}
	return s, nil
}

// lines hands on what the HTTP server logs.
type lines func(string)

func (l lines) Write(p []byte) (int, error) {
	l(string(p))
	return len(p), nil
}

// URL is where the page is on this machine.
func (s *Server) URL() string { return "http://" + s.listen[0].Addr().String() + "/" }

// FarURL is where another machine finds it, and Code what it must type; both
// are empty where nobody else is let in.
func (s *Server) FarURL() string {
	if len(s.listen) < 2 {
		return ""
	}
	return "http://" + s.listen[1].Addr().String() + "/"
}

// Code is the pairing code.
func (s *Server) Code() string { return s.gate.code() }

// Serve answers until ctx ends.
func (s *Server) Serve(ctx context.Context) error {
	s.http.BaseContext = func(net.Listener) context.Context { return ctx } // event streams end with it
	failed := make(chan error, len(s.listen))
	for _, l := range s.listen {
		go func() { failed <- s.http.Serve(l) }()
	}
	select {
	case <-ctx.Done():
	case err := <-failed:
		s.http.Close()
		return err
	}
	patience, cancel := context.WithTimeout(context.WithoutCancel(ctx), 2*time.Second)
	defer cancel()
	if err := s.http.Shutdown(patience); err != nil && !errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	return s.http.Close()
}

func (s *Server) routes() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", page("index.html"))
	mux.HandleFunc("GET /page/{file...}", asset)
	mux.HandleFunc("GET /pair", page("pair.html"))
	mux.HandleFunc("POST /pair", s.gate.pair)
	mux.HandleFunc("GET /api/start", s.start)
	mux.HandleFunc("POST /api/practice", s.beginPractice)
	mux.HandleFunc("POST /api/cases", s.beginCase)
	mux.HandleFunc("POST /api/boards", s.bring)
	mux.HandleFunc("GET /api/cases/{id}/events", s.events)
	mux.HandleFunc("GET /api/cases/{id}/view", s.view)
	mux.HandleFunc("POST /api/cases/{id}/act", s.act)
	mux.HandleFunc("GET /api/cases/{id}/drawing", s.drawing)
	mux.HandleFunc("GET /api/cases/{id}/drawing/early", s.earlyDrawing)
	mux.HandleFunc("GET /api/cases/{id}/find", s.find)
	mux.HandleFunc("GET /api/cases/{id}/pairs", s.pairs)
	mux.HandleFunc("GET /api/cases/{id}/at", s.at)
	mux.HandleFunc("GET /api/cases/{id}/between", s.between)
	mux.HandleFunc("POST /api/cases/{id}/trial", s.trial)
	mux.HandleFunc("GET /api/cases/{id}/picture", s.picture)
	mux.HandleFunc("GET /api/cases/{id}/between/picture", s.betweenPicture)
	return mux
}
