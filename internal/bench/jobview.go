package bench

import (
	"fmt"
	"math"
	"strings"

	"ohmward/internal/board"
	"ohmward/internal/copper"
	"ohmward/internal/record"
	"ohmward/unit"
)

// View says where the job stands.
func (j *Job) View() *View {
	j.mu.Lock()
	defer j.mu.Unlock()
	if v := j.asShown(); v != nil {
		return v
	}
	v := &View{
		Revision: j.c.Steps.Revision, ID: j.id, Title: titleOf(j.c), Step: j.step(), Busy: j.busy, Trouble: j.trouble,
		Nets: []string{}, Picked: append([]string{}, j.picked...), Readings: []Taken{}, Findings: []string{},
	}
	v.Meter = j.meterView()
	if j.desk != nil {
		v.Board = j.boardView()
	}
	if j.c.Nets[0] != "" {
		v.Nets = j.c.Nets[:]
	}
	v.Groups = j.groupNames()
	v.Path = milestones(v.Step)
	v.Target = j.targetView()
	v.Readings = j.takenViews()
	for _, f := range j.c.Findings {
		v.Findings = append(v.Findings, findingWords(f, j.findingPlace(f)))
	}
	v.Where = j.where()
	v.Card = j.card(v)
	v.CanUndo = j.undo(clone(j.c)) == nil && (j.desk != nil || j.busy != "")
	v.Mend = j.mend
	return v
}

// findingPlace names the place of a finding as the moves name it, "" where none
// does.
func (j *Job) findingPlace(f record.Finding) string {
	if f.Part != "" || j.answer == nil {
		return ""
	}
	for _, s := range j.answer.Sites {
		if j.midOf(s) == f.Place {
			return siteWords(s)
		}
	}
	return ""
}

// groupNames lists the nets of both groups; before they are solved, what is
// chosen or picked.
func (j *Job) groupNames() [][]string {
	out := [][]string{{}, {}}
	if j.session == nil {
		names := j.picked
		if j.c.Nets[0] != "" {
			names = j.c.Nets[:]
		}
		for i, n := range names {
			out[i] = []string{n}
		}
		return out
	}
	for g, nets := range j.session.groups {
		for _, n := range nets {
			out[g] = append(out[g], j.session.nets.Nets[n].Name)
		}
	}
	return out
}

func titleOf(c *record.Case) string {
	switch {
	case c.Steps != nil && c.Steps.Unit != "":
		return c.Steps.Unit
	case c.Board == record.Demo:
		return "RL-40 river-level logger"
	}
	return baseName(c.Board)
}

func (j *Job) boardView() *BoardView {
	d := j.desk
	v := &BoardView{Name: d.board.Name, Nets: len(d.nets.Nets), Parts: len(d.board.Parts), Layers: len(d.board.Layers),
		Doubts: j.doubtViews(), Said: saidOfFiles(j.c.Steps), Roles: sayable, Files: j.fileViews(), Copies: j.copyViews(), Copy: j.c.Steps.Copy, Figures: j.assumed(), Read: readKey(j.c.Steps) + asFigured(j.c)}
	if box := d.board.Outline.Bounds(); !box.Empty() {
		v.Size = fmt.Sprintf("%.0f × %.0f mm", float64(box.Max.X-box.Min.X)*1e-6, float64(box.Max.Y-box.Min.Y)*1e-6)
	}
	return v
}

func (j *Job) meterView() MeterView {
	if j.c.Steps.Practice == nil {
		words := "values are typed; tips held by hand"
		if j.c.Meter.Profile != handMeter {
			words = "values are typed; tips clipped"
		}
		return MeterView{Kind: "typed", Words: words}
	}
	return MeterView{Kind: "simulated", Words: "simulated meter, tips clipped", Down: j.live.stop != nil}
}

// milestones are the stages of the whole job, as a person would name them.
func milestones(step string) []Milestone {
	stages := []struct {
		name  string
		steps []string
	}{
		{"Nets", []string{stepNets, stepMetal}},
		{"Safety", []string{stepCautions, stepSwap, stepNull}},
		{"Readings", []string{stepRead, stepCheck}},
		{"Repair", []string{stepMend, stepRework}},
		{"Proof", []string{stepCool, stepLeads, stepAcross}},
		{"Record", []string{stepProven, stepClosed}},
	}
	var out []Milestone
	state := "done"
	for _, s := range stages {
		now := false
		for _, t := range s.steps {
			now = now || t == step
		}
		if now {
			state = "now"
		}
		out = append(out, Milestone{s.name, state})
		if now {
			state = "ahead"
		}
	}
	if step == stepClosed {
		out[len(out)-1].State = "done"
	}
	return out
}

// targetView puts the pair of places into words.
func (j *Job) targetView() *Target {
	switch j.step() {
	case stepSwap, stepCheck, stepRead, stepLeads, stepAcross:
	default:
		return nil
	}
	c, ok := j.choice()
	if !ok {
		return nil
	}
	at, err := j.session.contactsNamed(c.Kind == "four-wire", c.From, c.To, c.Current, c.Sense)
	if err != nil {
		return nil
	}
	t := &Target{Kind: c.Kind, Red: j.session.saySpot(at.high), Black: j.session.saySpot(at.low), Others: []Pair{}, Advised: j.aim == nil}
	if j.step() == stepSwap && len(j.c.Steps.Swap) == 1 {
		t.Red, t.Black = t.Black, t.Red
	}
	if at.fourWire {
		in, out := j.session.saySpot(at.in), j.session.saySpot(at.out)
		t.ClipRed, t.ClipBlk = &in, &out
	}
	if t.Red.Bottom || t.Black.Bottom {
		t.Turn = "Turn the board over: the bottom faces you."
	}
	if j.step() == stepRead {
		j.others(t)
	}
	return t
}

// others lists the other places on offer.
func (j *Job) others(t *Target) {
	for i, n := range j.answer.Next {
		at, err := j.session.contactsNamed(n.Kind == "four-wire", n.From, n.To, n.Current, n.Sense)
		if err != nil {
			continue
		}
		if i == 0 && t.Advised {
			t.Why = n.Why
		}
		say := func(spot copper.Spot) string { return j.session.saySpot(spot).Words }
		pair := Pair{From: say(at.high), To: say(at.low)}
		if at.fourWire {
			pair = Pair{From: fmt.Sprintf("volts on %s and %s", pair.From, pair.To), To: fmt.Sprintf("clips on %s and %s", say(at.in), say(at.out))}
		}
		t.Others = append(t.Others, pair)
	}
}

// takenViews sets each reading against what the best place predicts.
func (j *Job) takenViews() []Taken {
	out := []Taken{}
	most := 0.0
	for _, r := range j.c.Readings {
		if !r.Ohms.IsOpen() {
			most = max(most, math.Abs(float64(r.Ohms)))
		}
	}
	for i, r := range j.c.Readings {
		t := Taken{N: i, Value: r.Ohms.String(), Places: r.From + " – " + r.To, Doubtful: r.Doubtful != nil && *r.Doubtful}
		if r.FourWire {
			t.Places = "volts " + r.Sense[0] + " – " + r.Sense[1]
		}
		t.Share = share(float64(r.Ohms), most)
		if j.answer != nil && i < len(j.answer.Each) {
			j.predictedView(&t, j.answer.Each[i], most)
			w := j.answer.Fit.WorstReading
			t.Worst = w != nil && *w == i
		}
		if j.work != nil && i < len(j.work.taken) {
			at := j.work.taken[i]
			t.FromX, t.FromY = at.high.At.MM()
			t.ToX, t.ToY = at.low.At.MM()
			if t.Places = j.placeName(at.high) + " – " + j.placeName(at.low); r.FourWire {
				t.Places = "volts " + t.Places
			}
		}
		out = append(out, t)
	}
	return out
}

// placeName names a place shortly: its pin, else in words.
func (j *Job) placeName(spot copper.Spot) string {
	if text := j.session.placeText(spot); !strings.Contains(text, "@") {
		return text
	}
	return j.session.saySpot(spot).Words
}

func share(ohms, most float64) float64 {
	if most == 0 || math.IsInf(ohms, 0) {
		return 1
	}
	return math.Abs(ohms) / most
}

func (j *Job) predictedView(t *Taken, f ReadingFit, most float64) {
	if f.Predicted == nil || f.Ohms >= openReading {
		return
	}
	t.Predicted, t.PredShare = unit.Resistance(*f.Predicted).String(), min(1, share(*f.Predicted, most))
	if f.U > 0 {
		t.Off = (f.Ohms - *f.Predicted) / f.U
	}
}

// where says what is known of the place.
func (j *Job) where() *Where {
	a := j.answer
	if a == nil {
		return nil
	}
	w := &Where{Verdict: a.Fit.Verdict, OneShort: a.Fit.Verdict == OneShort, Note: a.Fit.Note, Changed: a.Fit.Changed, Touch: a.Fit.Neighbour, Best: a.Best, Places: []PlaceView{}, Density: j.density()}
	if j.canReach != nil {
		w.Reach = j.canReach.Note
	}
	if len(a.Next) > 0 {
		w.Worth = a.Next[0].Why
	}
	if a.Enough {
		w.Worth = "Enough read: " + a.EnoughWhy
	}
	const shown = 6
	for _, s := range a.Sites[:min(len(a.Sites), shown)] {
		w.Places = append(w.Places, PlaceView{Words: siteWords(s), Chance: chanceWords(s.Probability), P: s.Probability,
			Layer: s.Layer, X: (s.X + s.X2) / 2, Y: (s.Y + s.Y2) / 2})
	}
	if b := a.Best; b != nil {
		w.Words = siteWords(b.Site)
		w.Radius = fmt.Sprintf("within %.1f mm", b.RadiusMM)
		w.Chance = chanceWords(b.RadiusMass)
		w.Hides = hides(b.Site, j.session.board)
		if b.Kind == "gap" {
			w.Gap = fmt.Sprintf("%.2f mm gap", b.Gap)
		}
		if len(j.c.Readings) > 0 {
			w.Short = fmt.Sprintf("%v (%v to %v)", unit.Resistance(b.Ohms.Median), unit.Resistance(b.Ohms.Low), unit.Resistance(b.Ohms.High))
		}
	}
	return w
}

// hides says what lies over a place.
func hides(s Site, b *board.Board) string {
	face := "on the top"
	switch {
	case s.Layer == b.Layers[len(b.Layers)-1].Name && len(b.Layers) > 1:
		face = "on the bottom"
	case s.Layer != b.Layers[0].Name:
		face = "inside the board, on " + s.Layer
	}
	switch {
	case s.Hidden && s.Covered:
		return face + ", under a part and under the mask"
	case s.Hidden:
		return face + ", hidden under a part"
	case s.Covered:
		return face + ", under the solder mask"
	}
	return face + ", in plain sight"
}

// leastDensity is the share of the largest below which a sample is not drawn.
const leastDensity = 0.002

// density is each sample's share of the largest.
func (j *Job) density() [][3]float64 {
	out := [][3]float64{}
	most := 0.0
	listed := j.post.P[:len(j.work.listed())]
	for _, p := range listed {
		most = max(most, p)
	}
	for i, p := range listed {
		if most > 0 && p >= leastDensity*most {
			x, y := j.work.sites[i].Mid()
			out = append(out, [3]float64{round3(x), round3(y), round3(p / most)})
		}
	}
	return out
}

func round3(x float64) float64 { return math.Round(x*1e3) / 1e3 }

// Live says what the meter shows now, and a number that changes with it.
func (j *Job) Live() (Live, int) {
	j.mu.Lock()
	defer j.mu.Unlock()
	l := Live{On: j.live.has && j.live.stop != nil}
	if !l.On {
		return l, j.live.seq
	}
	l.Text, l.Steady = j.live.now.Ohms.String(), j.live.told
	l.Share = barShare(float64(j.live.now.Ohms))
	l.Open = !isShort(float64(j.live.now.Ohms))
	return l, j.live.seq
}

// barShare puts a resistance on a bar from a milliohm to 100 kilohms, which
// grows with its logarithm.
func barShare(ohms float64) float64 {
	if ohms <= 1e-3 {
		return 0
	}
	return min(1, math.Log10(ohms/1e-3)/8)
}
