package bench

import (
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"testing"

	"ohmward/internal/answer"
	"ohmward/internal/check"
	"ohmward/internal/engine"
	"ohmward/internal/locate"
	"ohmward/internal/record"
)

// The track of common practice: a supply, 0.5 mm wide along y = 5 mm, with
// four capacitors between it and a solid ground on the other layer; a via
// beside each ground pad. Lands of ground stand beside the track, 0.25 mm
// away: solder may bridge to any of them. All in millimetres.
//
// 35 um copper is 17.241 nohm m / 35 um = 0.4926 mohm a square, so the track
// has 0.985 mohm/mm and the ground, 9 mm wide, 0.055 mohm/mm. Each of the two
// vias of a return has 1.27 mohm. A short of 2 mohm to the land at 5.5 mm then
// makes the four capacitors read about 7, 22, 49 and 60 mohm.
var (
	trackPads  = []float64{4.00, 21.60, 47.80, 58.60}
	trackLands = []float64{5.5, 12, 17, 28, 33, 38, 43, 55}
	// Common practice, no source: readings at four places of one supply track,
	// in ohms; the short is at the place that reads least.
	trackReads = []float64{0.007, 0.022, 0.049, 0.060}
)

const (
	trackSheet = 1.7241e-8 / 35e-6             // ohms a square, IEC 60028
	trackPerMM = trackSheet/0.5 + trackSheet/9 // ohms a millimetre, there and back
	trackShort = 0.002                         // ohms of the short that makes the readings
)

func um(mm float64) int64 { return int64(math.Round(mm * 1e6)) }

func at(x, y float64) string { return fmt.Sprintf("X%dY%d", um(x), um(y)) }

// trackBoard writes the board's files into a folder of its own.
func trackBoard(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	head := "%%FSLAX46Y46*%%\n%%MOMM*%%\n%%TF.FileFunction,%s*%%\nG01*\n"
	var top, drill strings.Builder
	fmt.Fprintf(&top, head, "Copper,L1,Top")
	top.WriteString("%TA.AperFunction,SMDPad,CuDef*%\n%ADD10R,0.8X0.8*%\n%TA.AperFunction,Conductor*%\n%ADD11C,0.5*%\n" +
		"%TA.AperFunction,ViaPad*%\n%ADD12C,0.6*%\n%TD*%\n")
	fmt.Fprintf(&top, "%%TO.N,SUPPLY*%%\nD11*\n%sD02*\n%sD01*\n%%TD*%%\n", at(3, 5), at(60, 5))
	drill.WriteString("M48\n; #@! TF.FileFunction,Plated,1,2,PTH,Drill\nMETRIC\nT01C0.300\n%\nT01\n")
	via := func(x, y float64) {
		fmt.Fprintf(&top, "%%TO.N,GND*%%\nD12*\n%sD03*\n%%TD*%%\n", at(x, y))
		fmt.Fprintf(&drill, "X%.3fY%.3f\n", x, y)
	}
	for i, x := range trackPads {
		fmt.Fprintf(&top, "%%TO.N,SUPPLY*%%\n%%TO.P,C%d,1*%%\nD10*\n%sD03*\n%%TD*%%\n", i+1, at(x, 5))
		fmt.Fprintf(&top, "%%TO.N,GND*%%\n%%TO.P,C%d,2*%%\nD10*\n%sD03*\n%%TD*%%\n", i+1, at(x, 3.2))
		fmt.Fprintf(&top, "%%TO.N,GND*%%\nD11*\n%sD02*\n%sD01*\n%%TD*%%\n", at(x, 3.2), at(x, 2.2))
		via(x, 2.2)
	}
	for _, x := range trackLands {
		via(x, 5.8)
	}
	top.WriteString("M02*\n")
	drill.WriteString("M30\n")
	plane := fmt.Sprintf(head, "Copper,L2,Bot") + "%TO.N,GND*%\nG36*\n" + at(0.5, 0.5) + "D02*\n" +
		at(62.5, 0.5) + "D01*\n" + at(62.5, 9.5) + "D01*\n" + at(0.5, 9.5) + "D01*\n" + at(0.5, 0.5) + "D01*\nG37*\nM02*\n"
	for name, text := range map[string]string{"top.gbr": top.String(), "bottom.gbr": plane, "plated.drl": drill.String()} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// trackCase writes a case of four readings on a meter that shows whole
// milliohms.
func trackCase(t *testing.T, board string, ohms []float64, null float64) string {
	t.Helper()
	var b strings.Builder
	fmt.Fprintf(&b, "board = %q\nnets = [\"SUPPLY\", \"GND\"]\n[meter]\nnoise_ohms = 0.0005\nnull_ohms = %g\n", board, null)
	for i, r := range ohms {
		fmt.Fprintf(&b, "[[reading]]\nfrom = \"C%d.1\"\nto = \"C%d.2\"\nohms = %g\n", i+1, i+1, r)
	}
	path := filepath.Join(t.TempDir(), "track.toml")
	if err := os.WriteFile(path, []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

func located(t *testing.T, path string) *answer.Location {
	t.Helper()
	a, err := Locate(context.Background(), path, "", withStore())
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// TestTrackCopper: the copper makes the readings of common practice, by the
// length of the track and by the program's own prediction.
func TestTrackCopper(t *testing.T) {
	c, err := record.Read(trackCase(t, trackBoard(t), trackReads, 0.0005))
	if err != nil {
		t.Fatal(err)
	}
	p, err := engine.Open(context.Background(), c.BoardPath(), withStore())
	if err != nil {
		t.Fatal(err)
	}
	w, err := p.Locator(context.Background(), c)
	if err != nil {
		t.Fatal(err)
	}
	if err := w.TakeAll(c); err != nil {
		t.Fatal(err)
	}
	truth := -1
	for i, s := range w.Sites {
		if x, y := s.Mid(); s.Kind.String() == "gap" && y > 5 && (truth < 0 || math.Abs(x-trackLands[0]) < distanceTo(w, truth)) {
			truth = i
		}
	}
	away := func(i int) float64 { return math.Abs(trackPads[i] - trackLands[0]) }
	for i, r := range w.Readings {
		check.Approx(t, copperOf(r, truth)+r.D*trackShort, trackReads[i], check.Tol{Abs: 0.0008},
			fmt.Sprintf("common practice, no source: C%d", i+1))
		// What all four share (vias, pads, the short's own contacts) drops out.
		check.Approx(t, copperOf(r, truth)-copperOf(w.Readings[0], truth), trackPerMM*(away(i)-away(0)), check.Tol{Rel: 0.02, Abs: 0.0003},
			fmt.Sprintf("bar formula: copper of C%d beyond that of C1", i+1))
	}
}

// copperOf is the copper's part of a reading at nominal thickness, over all
// layers and the plating, if the short is at a site.
func copperOf(r locate.Reading, site int) (ohms float64) {
	for _, row := range r.C {
		ohms += row[min(site, len(row)-1)]
	}
	return ohms
}

// distanceTo is how far a site lies from the true land along the track.
func distanceTo(w *engine.Locator, site int) float64 {
	x, _ := w.Sites[site].Mid()
	return math.Abs(x - trackLands[0])
}

// TestTrackShort, common practice, no source: the place that read 7 mohm is
// the nearest to the answer, and the order of the readings is the order of
// distance along the track.
func TestTrackShort(t *testing.T) {
	a := located(t, trackCase(t, trackBoard(t), trackReads, 0.0005))
	if a.Fit.Verdict != answer.OneShort {
		t.Errorf("verdict %q, want %q: %+v", a.Fit.Verdict, answer.OneShort, a.Fit)
	}
	x := (a.Best.X + a.Best.X2) / 2
	t.Logf("best %s at %.2f mm along the track, within %.2f mm, short %.1f mohm", a.Best.Kind, x, a.Best.RadiusMM, 1e3*a.Best.Ohms.Median)
	byDistance := []int{0, 1, 2, 3}
	sort.Slice(byDistance, func(i, j int) bool {
		return math.Abs(trackPads[byDistance[i]]-x) < math.Abs(trackPads[byDistance[j]]-x)
	})
	if fmt.Sprint(byDistance) != "[0 1 2 3]" {
		t.Errorf("places by distance from the answer: %v, want the order of their readings", byDistance)
	}
	if d := math.Abs(x - trackPads[0]); d > 3 {
		t.Errorf("the answer is %.1f mm from the place that read least, want it there", d)
	}
	if d := math.Abs(x - trackLands[0]); d > a.Best.RadiusMM {
		t.Errorf("the land that makes these readings is %.2f mm away, beyond the radius of %.2f mm", d, a.Best.RadiusMM)
	}
}

// TestTrackCleared, common practice, no source: once the short is cleared the
// same places read 38 kohm, and that is no short.
func TestTrackCleared(t *testing.T) {
	a := located(t, trackCase(t, trackBoard(t), []float64{38e3, 38e3, 38e3, 38e3}, 0.0005))
	if a.Fit.Verdict != answer.NotAShort {
		t.Errorf("verdict %q, want %q", a.Fit.Verdict, answer.NotAShort)
	}
}

// TestTrackLeads, common practice, no source: 150 mohm of lead left in every
// reading does not move the answer by more than its radius when null_ohms says
// that so much may be left.
func TestTrackLeads(t *testing.T) {
	board := trackBoard(t)
	clean := located(t, trackCase(t, board, trackReads, 0.0005))
	raised := make([]float64, len(trackReads))
	for i, r := range trackReads {
		raised[i] = r + 0.150
	}
	a := located(t, trackCase(t, board, raised, 0.150))
	moved := engine.HypotMM((a.Best.X+a.Best.X2-clean.Best.X-clean.Best.X2)/2, (a.Best.Y+a.Best.Y2-clean.Best.Y-clean.Best.Y2)/2)
	t.Logf("moved %.2f mm; radius %.2f mm, %.2f mm with the leads nulled", moved, a.Best.RadiusMM, clean.Best.RadiusMM)
	if moved > a.Best.RadiusMM {
		t.Errorf("150 mohm of lead moved the answer by %.2f mm, beyond its radius of %.2f mm", moved, a.Best.RadiusMM)
	}
	if a.Fit.Verdict != answer.OneShort {
		t.Errorf("verdict %q, want %q", a.Fit.Verdict, answer.OneShort)
	}
	if a.Best.RadiusMM > 10 {
		t.Errorf("radius %.1f mm: the differences of the readings should still tell", a.Best.RadiusMM)
	}
}
