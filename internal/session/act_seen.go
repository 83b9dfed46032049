package session

import (
	"fmt"
	"slices"

	"ohmward/internal/answer"
	"ohmward/internal/engine"
	"ohmward/internal/record"
	"ohmward/unit"
)

// A look that shows what bridges is told of in two questions, where it is and what it
// is; a value typed while looking is recorded first, and then it is asked what was
// seen. What is told becomes one finding, which settles the place.

// lookUnderWay tells whether the move under way is a look.
func (j *Session) lookUnderWay() bool {
	d := j.c.Steps.Doing
	return d != nil && (d.Done == "cleaned" || d.Done == "looked")
}

// checkWhileLooking records a value typed during a look, at the places of the last
// reading, and asks what was seen.
func (j *Session) checkWhileLooking(next *record.Case, ohms unit.Resistance) error {
	if j.answer == nil {
		return &answer.Error{Kind: answer.Misuse, What: "the nets are not ready yet"}
	}
	if err := j.meterAgainst(!isShort(float64(ohms))); err != nil {
		return err
	}
	d := next.Steps.Doing
	f := record.Finding{After: len(next.Readings), Part: d.Part, Place: d.Place, Done: "cleaned", Short: "open"}
	if isShort(float64(ohms)) {
		f.Short = "remains"
		c := j.acrossChoice(false)
		next.Readings = append(next.Readings, record.Reading{From: c.From, To: c.To, Ohms: ohms,
			Note: lookingNote})
	}
	next.Findings = append(next.Findings, f)
	next.Steps.Doing = &record.Doing{Done: "looked", Part: d.Part, Place: d.Place}
	next.Steps.Proof = record.Proof{}
	j.askSeen(next, "look")
	return nil
}

// askSeen asks one of the questions of a look; the tips and the brush are down.
func (j *Session) askSeen(next *record.Case, question string) {
	next.Steps.Seeing = record.Seeing{Asks: question}
	if j.sim != nil {
		j.liftTips()
		j.sim.endRework()
	}
}

// seenAsked refuses what answers a question that is not asked.
func (j *Session) seenAsked(question string) error {
	if j.c.Steps.Seeing.Asks != question {
		return &answer.Error{Kind: answer.Misuse, What: "that is not asked now"}
	}
	return nil
}

// tellSeen says whether anything was seen to bridge.
func tellSeen(j *Session, next *record.Case, a answer.Act) (bool, error) {
	if err := j.seenAsked("look"); err != nil {
		return false, err
	}
	switch a.Text {
	case "bridge":
		next.Steps.Seeing.Asks = "where"
	case "nothing":
		d := next.Steps.Doing
		next.Findings = append(next.Findings, record.Finding{After: len(next.Readings), Part: d.Part,
			Place: d.Place, Done: "looked", Seen: "nothing"})
		endLook(next)
	default:
		return false, &answer.Error{Kind: answer.Misuse, What: "something bridges, or nothing is to be seen"}
	}
	return true, nil
}

// seenWhere says where what bridges was seen: a place in a.Place and, of what lies
// inside a part, the part in a.Text.
func seenWhere(j *Session, next *record.Case, a answer.Act) (bool, error) {
	if err := j.seenAsked("where"); err != nil && j.c.Steps.Seeing.Asks != "what" { // or once more
		return false, err
	}
	if j.pair == nil {
		return false, &answer.Error{Kind: answer.Misuse, What: "the nets are not ready yet"}
	}
	_, layer, err := j.pair.PlaceOf(a.Place)
	if err != nil {
		return false, answer.AsError(err)
	}
	if layer >= len(j.pair.Layout.Layers) {
		return false, &answer.Error{Kind: answer.Misuse, What: "the board has no such layer"}
	}
	if a.Text != "" && partCalled(j.pair.Board, a.Text) == nil {
		return false, &answer.Error{Kind: answer.Misuse, What: fmt.Sprintf("there is no part %.20q", a.Text)}
	}
	next.Steps.Seeing = record.Seeing{Asks: "what", Part: a.Text, Place: a.Place}
	return true, nil
}

// seenWhat says what it is; with that the look is on the record.
func seenWhat(j *Session, next *record.Case, a answer.Act) (bool, error) {
	if err := j.seenAsked("what"); err != nil {
		return false, err
	}
	if !slices.Contains(record.Substances, a.Text) {
		return false, &answer.Error{Kind: answer.Misuse, What: fmt.Sprintf("%.20q is nothing that bridges", a.Text)}
	}
	d, s := next.Steps.Doing, next.Steps.Seeing
	if d.Done == "cleaned" {
		next.Findings = append(next.Findings, record.Finding{After: len(next.Readings), Part: d.Part,
			Place: d.Place, Done: "cleaned", Short: "remains"})
	}
	next.Findings = append(next.Findings, record.Finding{After: len(next.Readings), Part: s.Part, Place: s.Place,
		Done: "looked", Seen: "bridge", What: a.Text})
	endLook(next)
	return true, nil
}

func endLook(next *record.Case) {
	next.Steps.Doing, next.Steps.Seeing = nil, record.Seeing{}
}

// sightOf gives the finding that tells where what bridges was seen, and its index; -1
// where none does.
func sightOf(c *record.Case) int {
	for i, f := range slices.Backward(c.Findings) {
		if f.Seen == "bridge" && f.What != "" {
			return i
		}
	}
	return -1
}

// seeAgain asks anew what was seen, in place of what was said of it.
func seeAgain(j *Session, next *record.Case, _ answer.Act) (bool, error) {
	i := sightOf(next)
	if i < 0 || next.Steps.Doing != nil || next.Steps.Seeing.Asks != "" {
		return false, &answer.Error{Kind: answer.Misuse, What: "nothing seen could be said otherwise now"}
	}
	f := next.Findings[i]
	next.Findings = slices.Delete(next.Findings, i, i+1)
	next.Steps.Doing = &record.Doing{Done: "looked", Part: f.Part, Place: f.Place}
	next.Steps.Turn = "mend"
	j.askSeen(next, "look")
	return true, nil
}

// lookingNote is the note of a reading typed while looking.
const lookingNote = "while looking"

// seenMM is how far from where was looked a place is offered.
const seenMM, mostSeen = 12.0, 6

// placesInView are the listed places that may be seen from where was looked, nearest
// first, no two called the same.
func (j *Session) placesInView() (out []answer.Site) {
	d := j.c.Steps.Doing
	at := findingOf(j.pair.Board, *d)
	outer := []string{j.pair.Layout.Layers[0].Name, j.pair.Layout.Layers[len(j.pair.Layout.Layers)-1].Name}
	var away []float64
	called := map[string]bool{}
	for _, s := range j.answer.Sites {
		mm := engine.HypotMM((s.X+s.X2)/2-at.X, (s.Y+s.Y2)/2-at.Y)
		if s.Kind == "layers" || !slices.Contains(outer, s.Layer) ||
			at.HasPlace && mm > seenMM || called[siteWords(s)] {
			continue
		}
		called[siteWords(s)] = true
		if !at.HasPlace {
			mm = float64(len(out)) // the whole board was looked over: the likeliest first
		}
		k, _ := slices.BinarySearch(away, mm)
		away, out = slices.Insert(away, k, mm), slices.Insert(out, k, s)
	}
	return out[:min(len(out), mostSeen)]
}
