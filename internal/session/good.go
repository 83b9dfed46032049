package session

import (
	"bytes"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/internal/record"
	"ohmward/unit"
)

// PronePairs lists the pairs of nets most likely to touch, with what a good
// unit of the same board read across them, where a case in the folder tells, or
// else reads at most, where a resistor lies across them.
func (j *Session) PronePairs() ([]answer.PronePair, error) {
	d := j.Board()
	if d == nil {
		return nil, &answer.Error{Kind: answer.Busy, What: "the board is still being read"}
	}
	pairs, err := d.PronePairs()
	if err != nil {
		return nil, err
	}
	j.mu.Lock()
	c := j.c
	j.mu.Unlock()
	good, err := j.folder.goodValues(c, d)
	if err != nil {
		return nil, err
	}
	for i := range pairs {
		if r, known := good[pairOf(pairs[i].Nets)]; known {
			pairs[i].Good = goodWords(r, unit.Resistance(j.meter().Digit(false)))
		} else {
			pairs[i].Good = bench.AtMost(d.Board, pairs[i].Nets)
		}
	}
	return pairs, nil
}

func goodWords(r, digit unit.Resistance) string {
	if r.IsOpen() {
		return "a good unit read open (OL)"
	}
	return "a good unit read " + r.Shown(digit)
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
func (s *CaseFolder) goodValues(of *record.Case, d *LoadedBoard) (map[[2]string]unit.Resistance, error) {
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
func (d *LoadedBoard) acrossNets(r record.Reading) (nets [2]string, is bool) {
	if r.FourWire || r.Doubtful != nil && *r.Doubtful {
		return nets, false
	}
	for i, place := range []string{r.From, r.To} {
		spot, err := d.Resolve(place)
		if err != nil {
			return nets, false
		}
		nets[i] = d.Nets.Nets[spot.Net].Name
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
		if total += info.Size(); err == nil && (len(out) >= mostCompared || total > MostUpload ||
			!info.Mode().IsRegular()) {
			return fs.ErrInvalid
		}
		out = append(out, sizedFile{rel, info.Size()})
		return err
	})
	return out, err
}
