package session

import (
	"fmt"
	"math"
	"strings"

	"ohmward/internal/answer"
	"ohmward/internal/board"
	"ohmward/internal/copper"
	"ohmward/internal/engine"
	"ohmward/internal/record"
	"ohmward/unit"
)

// View says where the session stands.
func (j *Session) View() *answer.View {
	j.mu.Lock()
	defer j.mu.Unlock()
	if v := j.fromSnapshot(); v != nil {
		return v
	}
	v := &answer.View{
		Revision: j.c.Steps.Revision, ID: j.id, Title: titleOf(j.c), Step: j.step(), Busy: j.busy,
		Trouble: j.trouble,
		Nets:    []string{}, Picked: append([]string{}, j.picked...), Readings: []answer.Taken{},
		Findings: []string{},
	}
	v.Meter, v.Early = j.meterView(), j.earlyView()
	if j.board != nil {
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
	v.RedGroup, v.Turns = 1-j.blackNet(), j.c.Steps.Turns
	v.Card = j.card(v)
	v.Focus, v.Named = j.focus(v), j.named(v)
	j.sayValue(&v.Card)
	j.undoView(v)
	v.Mend = j.failure
	if c := j.holdingCard(v.Card); c != nil {
		v.Card, v.Target, v.CanUndo, v.NoUndo = *c, nil, false, ""
	}
	return v
}

// findingPlace names the place of a finding as the moves name it, "" where none
// does.
func (j *Session) findingPlace(f record.Finding) string {
	if f.Part != "" || j.answer == nil {
		return ""
	}
	at, layer, err := j.pair.PlaceOf(f.Place)
	if err != nil || layer >= len(j.pair.Layout.Layers) {
		return ""
	}
	const same = 0.7 // millimetres: what is named there lies there
	best, words := same, ""
	for _, s := range j.answer.Sites {
		x, y := at.MM()
		mm := engine.HypotMM((s.X+s.X2)/2-x, (s.Y+s.Y2)/2-y)
		if s.Layer == j.pair.Layout.Layers[layer].Name && mm < best {
			best, words = mm, siteWords(s)
		}
	}
	if words == "" {
		x, y := at.MM()
		return fmt.Sprintf("at %.1f, %.1f mm", x, y)
	}
	return words
}

// groupNames lists the nets of both groups; before they are solved, what is
// chosen or picked.
func (j *Session) groupNames() [][]string {
	out := [][]string{{}, {}}
	if j.pair == nil {
		names := j.picked
		if j.c.Nets[0] != "" {
			names = j.c.Nets[:]
		}
		for i, n := range names {
			out[i] = []string{n}
		}
		return out
	}
	for g, nets := range j.pair.Groups {
		for _, n := range nets {
			out[g] = append(out[g], j.pair.Nets.Nets[n].Name)
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

func (j *Session) boardView() *answer.BoardSummary {
	d := j.board
	v := &answer.BoardSummary{Name: d.Layout.Name, Nets: len(d.Nets.Nets), Parts: len(d.Layout.Parts),
		Layers: len(d.Layout.Layers),
		Doubts: j.doubtViews(), Said: overrideWords(j.c.Steps), Roles: offeredRoles, Files: j.fileViews(),
		Copies: j.copyViews(), Copy: j.c.Steps.Copy, Figures: j.assumed(), Read: overridesKey(j.c.Steps) +
			figuresKey(j.c)}
	if box := d.Layout.Outline.Bounds(); !box.Empty() {
		v.Size = fmt.Sprintf("%.0f × %.0f mm", float64(box.Max.X-box.Min.X)*1e-6,
			float64(box.Max.Y-box.Min.Y)*1e-6)
	}
	return v
}

func (j *Session) meterView() answer.MeterView {
	if j.c.Steps.Practice == nil && j.c.Steps.MeterAt != "" {
		return j.wireView()
	}
	if j.c.Steps.Practice == nil {
		words := "values are typed; tips held by hand"
		if j.c.Meter.Profile != handHeldMeter {
			words = "values are typed; tips clipped"
		}
		return answer.MeterView{Kind: "typed", Words: words}
	}
	return answer.MeterView{Kind: "simulated", Words: "simulated meter, tips clipped", Down: j.live.stop != nil}
}

// milestones are the stages of the whole job, as a person would name them.
func milestones(step string) []answer.Milestone {
	stages := []struct {
		name  string
		steps []string
	}{
		{"Nets", []string{stepNets, stepPolarity, stepMetal}},
		{"Safety", []string{stepCautions, stepSwap, stepNull}},
		{"Readings", []string{stepRead, stepCheck}},
		{"Repair", []string{stepRepair, stepRework, stepSeen, stepRefit}},
		{"Proof", []string{stepCool, stepLeads, stepAcross}},
		{"Record", []string{stepProven, stepClosed}},
	}
	var out []answer.Milestone
	state := "done"
	for _, s := range stages {
		now := false
		for _, t := range s.steps {
			now = now || t == step
		}
		if now {
			state = "now"
		}
		out = append(out, answer.Milestone{Name: s.name, State: state})
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
func (j *Session) targetView() *answer.Target {
	switch j.step() {
	case stepSwap, stepCheck, stepRead, stepLeads, stepAcross:
	default:
		return nil
	}
	c, ok := j.choice()
	if !ok {
		return nil
	}
	at, err := j.pair.ContactsNamed(c.Kind == "four-wire", c.From, c.To, c.Current, c.Sense)
	if err != nil {
		return nil
	}
	at, _ = j.onTips(at)
	t := &answer.Target{Kind: c.Kind, Red: j.spotView(at.High), Black: j.spotView(at.Low),
		Others: []answer.Other{}, Advised: j.aim == nil}
	if j.step() == stepSwap && len(j.c.Steps.Swap) == 1 {
		t.Red, t.Black = t.Black, t.Red
	}
	if at.FourWire {
		in, out := j.spotView(at.In), j.spotView(at.Out)
		t.ClipRed, t.ClipBlk = &in, &out
	}
	_, t.Turn = lies(t.Red, t.Black)
	if j.step() == stepRead {
		j.others(t)
	}
	return t
}

// others lists the other places on offer.
func (j *Session) others(t *answer.Target) {
	if t.Advised && len(j.answer.Next) > 0 {
		t.Why = j.answer.Next[0].Why
	}
	t.Cannot = j.cannot
	for _, n := range j.offered() {
		t.Others = append(t.Others, j.otherView(n))
	}
}

// takenViews sets each reading against what the best place predicts.
func (j *Session) takenViews() []answer.Taken {
	out := []answer.Taken{}
	most := 0.0
	for _, r := range j.c.Readings {
		if !r.Ohms.IsOpen() {
			most = max(most, math.Abs(float64(r.Ohms)))
		}
	}
	for i, r := range j.c.Readings {
		t := answer.Taken{N: i, Value: j.ohms(r.Ohms, r.FourWire), Places: r.From + " – " + r.To,
			Doubtful: r.Doubtful != nil && *r.Doubtful}
		if r.FourWire {
			t.Places = "volts " + r.Sense[0] + " – " + r.Sense[1]
		}
		t.Share = share(float64(r.Ohms), most)
		if j.answer != nil && i < len(j.answer.Each) {
			j.predictedView(&t, j.answer.Each[i], most, r.FourWire)
			w := j.answer.Fit.WorstReading
			t.Worst = w != nil && *w == i
		}
		if j.work != nil && i < len(j.work.Taken) {
			at := j.work.Taken[i]
			t.FromX, t.FromY = at.High.At.MM()
			t.ToX, t.ToY = at.Low.At.MM()
			_, t.FromBlack = j.onTips(at)
			t.FromSide, t.ToSide = j.sideOf(at.High), j.sideOf(at.Low)
			if t.Places = j.placeName(at.High) + " – " + j.placeName(at.Low); r.FourWire {
				t.Places = "volts " + t.Places
			}
		}
		out = append(out, t)
	}
	return out
}

// placeName names a place shortly: its pin, else in words.
func (j *Session) placeName(spot copper.Spot) string {
	if text := j.pair.PlaceText(spot); !strings.Contains(text, "@") {
		return text
	}
	return j.spotView(spot).Words
}

func shortName(p *engine.Board, spot copper.Spot) string {
	if text := p.PlaceText(spot); !strings.Contains(text, "@") {
		return text
	}
	return SpotWords(p, spot).Words
}

func share(ohms, most float64) float64 {
	if most == 0 || math.IsInf(ohms, 0) {
		return 1
	}
	return math.Abs(ohms) / most
}

func (j *Session) predictedView(t *answer.Taken, f answer.ReadingFit, most float64, fourWire bool) {
	if f.Predicted == nil || f.Ohms >= engine.OpenReading {
		return
	}
	t.Predicted, t.PredShare = j.ohms(unit.Resistance(*f.Predicted), fourWire), min(1, share(*f.Predicted, most))
	if f.U > 0 {
		t.Off = (f.Ohms - *f.Predicted) / f.U
	}
}

// where says what is known of the place.
func (j *Session) where() *answer.Where {
	a := j.answer
	if a == nil {
		return nil
	}
	w := &answer.Where{Verdict: a.Fit.Verdict, OneShort: a.Fit.Verdict == answer.OneShort, Note: a.Fit.Note,
		Changed: a.Fit.Changed, Touch: a.Fit.Neighbour, Best: a.Best, Places: []answer.PlaceView{},
		Density: j.density()}
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
	w.Places = rowsOf(a.Sites, shown, j.bottomLayer(), j.c.Steps.Turns)
	if !a.Points() {
		w.Best = nil
	} else {
		b := a.Best
		w.Words = siteWords(b.Site)
		w.Radius, w.Chance = bestChance(b)
		w.Hides = hides(b.Site, j.pair.Layout)
		if b.Kind == "gap" {
			w.Gap = mmWords(b.Gap) + " gap"
		}
		w.Short = rangeWords(j.noise(), b.Ohms)
	}
	return w
}

// hides says what lies over a place.
func hides(s answer.Site, b *board.Board) string {
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
func (j *Session) density() [][3]float64 {
	out := [][3]float64{}
	most := 0.0
	listed := j.post.P[:len(j.work.Listed())]
	for _, p := range listed {
		most = max(most, p)
	}
	for i, p := range listed {
		if most > 0 && p >= leastDensity*most {
			x, y := j.work.Sites[i].Mid()
			out = append(out, [3]float64{round3(x), round3(y), round3(p / most)})
		}
	}
	return out
}

func round3(x float64) float64 { return math.Round(x*1e3) / 1e3 }

// Live says what the meter shows now, and a number that changes with it.
func (j *Session) Live() (answer.Live, int) {
	j.mu.Lock()
	defer j.mu.Unlock()
	l := answer.Live{On: j.live.has && (j.live.stop != nil || j.wire != nil)}
	if !l.On {
		return l, j.live.seq
	}
	l.Text, l.Steady = j.ohms(j.live.now.Ohms, j.live.now.FourWire), j.live.steadySeen
	l.Share = barShare(float64(j.live.now.Ohms))
	l.Open = !isShort(float64(j.live.now.Ohms))
	l.Hot = j.hot()
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
