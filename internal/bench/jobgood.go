package bench

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"ohmward/internal/record"
	"ohmward/unit"
)

// PronePairs lists the pairs of nets most likely to touch, with what a good
// unit of the same board read across them, where a case on the shelf tells, or
// else reads at most, where a resistor lies across them.
func (j *Job) PronePairs() ([]PronePair, error) {
	d := j.Desk()
	if d == nil {
		return nil, &Error{Kind: Busy, What: "the board is still being read"}
	}
	pairs, err := d.PronePairs()
	if err != nil {
		return nil, err
	}
	j.mu.Lock()
	c := j.c
	j.mu.Unlock()
	good, err := j.shelf.goodValues(c, d)
	if err != nil {
		return nil, err
	}
	for i := range pairs {
		if r, known := good[pairOf(pairs[i].Nets)]; known {
			pairs[i].Good = goodWords(r)
		} else {
			pairs[i].Good = d.atMost(pairs[i].Nets)
		}
	}
	return pairs, nil
}

// atMost says what a good unit reads at most across two nets, by the resistors
// between them and what low-ohm parts join to them; "" where there is none.
// Parts beside them can only lower it.
func (p *opened) atMost(names [2]string) string {
	group := map[int]int{} // from 1
	for g, nets := range p.nets.Groups(p.ties) {
		for _, n := range nets {
			group[n] = g + 1
		}
	}
	var of [2]int
	for i, name := range names {
		if n, err := p.nets.ByName(name); err == nil {
			of[i] = group[n]
		}
	}
	siemens, parts := 0.0, []string{}
	for _, r := range p.nets.Resistors() {
		if a, b := group[r.NetA], group[r.NetB]; a == of[0] && b == of[1] || a == of[1] && b == of[0] {
			siemens += 1 / float64(r.Ohms)
			parts = append(parts, r.Part)
		}
	}
	if len(parts) == 0 || of[0] == of[1] {
		return ""
	}
	lie := "lies"
	if len(parts) > 1 {
		lie = "lie"
	}
	const most = 4
	if len(parts) > most {
		parts = append(parts[:most], "…")
	}
	return fmt.Sprintf("a good unit reads at most %v: %s %s across", unit.Resistance(1/siemens), strings.Join(parts, ", "), lie)
}

func goodWords(r unit.Resistance) string {
	if r.IsOpen() {
		return "a good unit read open (OL)"
	}
	return "a good unit read " + r.String()
}

// pairOf puts two nets in the order of their names.
func pairOf(nets [2]string) [2]string {
	if nets[0] > nets[1] {
		nets[0], nets[1] = nets[1], nets[0]
	}
	return nets
}

// goodValues gathers what pairs of nets read on good units of a case's board:
// across them once a short was proved gone, and readings marked as of a good
// unit. Of several the one in the case changed last counts; invented units
// tell nothing.
func (s *Shelf) goodValues(of *record.Case, d *Desk) (map[[2]string]unit.Resistance, error) {
	lines, err := s.lines()
	if err != nil {
		return nil, err
	}
	out := map[[2]string]unit.Resistance{}
	slices.Reverse(lines) // the last changed comes last and stays
	for _, l := range lines {
		c, err := s.read(l.ID)
		if err != nil || c.Steps == nil || c.Steps.Practice != nil || !sameBoard(c.BoardPath(), of.BoardPath()) {
			continue
		}
		for _, r := range c.Readings {
			if nets, is := d.acrossNets(r); is && r.Unit == "good" {
				out[pairOf(nets)] = r.Ohms
			}
		}
		if across := c.Steps.Proof.Across; isCleared(c) && across != nil {
			out[pairOf(c.Nets)] = *across
		}
	}
	return out, nil
}

// acrossNets gives the two nets that a two-wire reading was taken across.
func (d *Desk) acrossNets(r record.Reading) (nets [2]string, is bool) {
	if r.FourWire || r.Doubtful != nil && *r.Doubtful {
		return nets, false
	}
	for i, place := range []string{r.From, r.To} {
		spot, err := d.resolve(place)
		if err != nil {
			return nets, false
		}
		nets[i] = d.nets.Nets[spot.Net].Name
	}
	return nets, nets[0] != nets[1]
}

// sameBoard tells whether two boards' files are the same: one place, or the
// same names with the same content.
func sameBoard(a, b string) bool {
	if a == b || a == record.Demo || b == record.Demo {
		return a == b
	}
	inA, errA := filesIn(a)
	inB, errB := filesIn(b)
	if errA != nil || errB != nil || len(inA) == 0 || !slices.Equal(inA, inB) {
		return false
	}
	for _, f := range inA {
		textA, errA := os.ReadFile(filepath.Join(a, f.name))
		textB, errB := os.ReadFile(filepath.Join(b, f.name))
		if errA != nil || errB != nil || !bytes.Equal(textA, textB) {
			return false
		}
	}
	return true
}

type sizedFile struct {
	name string // below the board; "." for the board itself
	size int64
}

// mostCompared bounds what is compared of a board.
const mostCompared = mostUploadFiles

func filesIn(board string) (out []sizedFile, err error) {
	total := int64(0)
	err = filepath.WalkDir(board, func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		info, err := e.Info()
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(board, name)
		if total += info.Size(); err == nil && (len(out) >= mostCompared || total > MostUpload || !info.Mode().IsRegular()) {
			return fs.ErrInvalid
		}
		out = append(out, sizedFile{rel, info.Size()})
		return err
	})
	return out, err
}
