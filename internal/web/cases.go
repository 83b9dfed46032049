package web

import (
	"fmt"
	"math"
	"net/http"
	"strconv"

	"ohmward/internal/answer"
	"ohmward/internal/session"
)

// startAnswer is what the first page shows.
type startAnswer struct {
	Recent   []answer.CaseLine `json:"recent"`
	Practice int               `json:"practice"` // the next invented unit
	FarURL   string            `json:"far_url,omitempty"`
	Code     string            `json:"code,omitempty"` // told only on this machine
}

func (s *Server) start(w http.ResponseWriter, r *http.Request) {
	recent, err := s.folder.Recent()
	if err != nil {
		failed(w, err)
		return
	}
	a := startAnswer{Recent: recent, Practice: s.folder.NextPractice()}
	if local(r) {
		a.FarURL, a.Code = s.FarURL(), s.Code()
	}
	reply(w, a)
}

type begun struct {
	ID string `json:"id"`
}

func (s *Server) beginPractice(w http.ResponseWriter, r *http.Request) {
	var asked struct {
		Unit *int `json:"unit"`
	}
	if !decode(w, r, &asked) {
		return
	}
	number := s.folder.NextPractice()
	if asked.Unit != nil {
		number = *asked.Unit
	}
	s.begin(w)(s.folder.BeginPractice(number))
}

func (s *Server) beginCase(w http.ResponseWriter, r *http.Request) {
	var asked struct {
		Like string `json:"like"` // a case whose board to take
		Demo bool   `json:"demo"` // or the demo's board
	}
	if !decode(w, r, &asked) {
		return
	}
	if asked.Demo {
		s.begin(w)(s.folder.BeginOn("demo"))
		return
	}
	s.begin(w)(s.folder.BeginLike(asked.Like))
}

func (s *Server) begin(w http.ResponseWriter) func(string, error) {
	return func(id string, err error) {
		if err != nil {
			failed(w, err)
			return
		}
		reply(w, begun{id})
	}
}

// session finds the case of a request; where there is none, it answers so.
func (s *Server) session(w http.ResponseWriter, r *http.Request) *session.Session {
	j, err := s.folder.Open(r.PathValue("id"))
	if err != nil {
		t := answer.TroubleOf(err)
		fail(w, http.StatusNotFound, t.Code, t.What, t.Hint)
		return nil
	}
	return j
}

// loadedBoard finds the board of a request's case.
func (s *Server) loadedBoard(w http.ResponseWriter, r *http.Request) *session.LoadedBoard {
	j := s.session(w, r)
	if j == nil {
		return nil
	}
	d := j.Board()
	if d == nil {
		fail(w, http.StatusServiceUnavailable, "busy", "the board is still being read", "")
	}
	return d
}

func (s *Server) view(w http.ResponseWriter, r *http.Request) {
	if j := s.session(w, r); j != nil {
		reply(w, j.View())
	}
}

func (s *Server) act(w http.ResponseWriter, r *http.Request) {
	j := s.session(w, r)
	if j == nil {
		return
	}
	var a answer.Act
	if !decode(w, r, &a) {
		return
	}
	if err := j.Do(a); err != nil {
		failed(w, err)
		return
	}
	reply(w, map[string]int{"rev": j.View().Revision})
}

func (s *Server) drawing(w http.ResponseWriter, r *http.Request) {
	d := s.loadedBoard(w, r)
	if d == nil {
		return
	}
	packed(w)(d.Drawing())
}

// earlyDrawing answers with what can be drawn of a board that is being read.
func (s *Server) earlyDrawing(w http.ResponseWriter, r *http.Request) {
	if j := s.session(w, r); j != nil {
		packed(w)(j.EarlyDrawing())
	}
}

// packed hands over a board's packed geometry; nil is answered with nothing.
func packed(w http.ResponseWriter) func([]byte, error) {
	return func(block []byte, err error) {
		if err != nil {
			failed(w, err)
			return
		}
		writeBlock(w, block)
	}
}

func writeBlock(w http.ResponseWriter, block []byte) {
	w.Header().Set("Content-Type", "application/octet-stream")
	w.Header().Set("Cache-Control", "no-store")
	w.Write(block)
}

func (s *Server) find(w http.ResponseWriter, r *http.Request) {
	if d := s.loadedBoard(w, r); d != nil {
		reply(w, d.Find(r.URL.Query().Get("q")))
	}
}

func (s *Server) pairs(w http.ResponseWriter, r *http.Request) {
	j := s.session(w, r)
	if j == nil {
		return
	}
	pairs, err := j.PronePairs()
	if err != nil {
		failed(w, err)
		return
	}
	reply(w, pairs)
}

// at tells what lies at a point of a side: x, y and reach in millimetres.
func (s *Server) at(w http.ResponseWriter, r *http.Request) {
	d := s.loadedBoard(w, r)
	if d == nil {
		return
	}
	q := r.URL.Query()
	var v [3]float64
	for i, name := range []string{"x", "y", "reach"} {
		x, err := strconv.ParseFloat(q.Get(name), 64)
		if err != nil || math.IsNaN(x) || math.Abs(x) > 1000 {
			fail(w, http.StatusBadRequest, "misuse", name+" is no number of millimetres", "")
			return
		}
		v[i] = x
	}
	reply(w, map[string]*answer.Spot{"at": d.At(q.Get("side") == "bottom", v[0], v[1], v[2])})
}

// between tells what the copper between two places is.
func (s *Server) between(w http.ResponseWriter, r *http.Request) {
	j := s.session(w, r)
	if j == nil {
		return
	}
	q := r.URL.Query()
	answered, err := j.Between(r.Context(), q.Get("from"), q.Get("to"))
	if err != nil {
		failed(w, err)
		return
	}
	reply(w, answered)
}

// picture draws where the short is, for keeping.
func (s *Server) picture(w http.ResponseWriter, r *http.Request) {
	if j := s.session(w, r); j != nil {
		drawn(w, "short-"+r.PathValue("id"))(j.Picture())
	}
}

// betweenPicture draws where a current between two places flows.
func (s *Server) betweenPicture(w http.ResponseWriter, r *http.Request) {
	if j := s.session(w, r); j != nil {
		q := r.URL.Query()
		drawn(w, "current-"+r.PathValue("id"))(j.BetweenPicture(r.Context(), q.Get("from"), q.Get("to")))
	}
}

// drawn hands over a picture under a file name.
func drawn(w http.ResponseWriter, name string) func([]byte, error) {
	return func(png []byte, err error) {
		if err != nil {
			failed(w, err)
			return
		}
		w.Header().Set("Content-Type", "image/png")
		w.Header().Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", name+".png"))
		w.Header().Set("Cache-Control", "no-store")
		w.Write(png)
	}
}

// mostTried bounds how many shorts one trial invents.
const mostTried = 200

// trial tells how well the program would do on invented shorts.
func (s *Server) trial(w http.ResponseWriter, r *http.Request) {
	j := s.session(w, r)
	if j == nil {
		return
	}
	var asked struct {
		Faults int `json:"faults"`
	}
	if !decode(w, r, &asked) {
		return
	}
	answered, err := j.Trial(r.Context(), min(max(asked.Faults, 1), mostTried))
	if err != nil {
		failed(w, err)
		return
	}
	reply(w, answered)
}
