package session

import (
	"fmt"
	"slices"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/engine"
	"ohmward/internal/record"
	"ohmward/unit"
)

// action carries out an act on a copy of the case; save tells whether the copy
// is to be written down.
type action func(j *Session, next *record.Case, a answer.Act) (save bool, err error)

// actions are all acts, by name.
var actions map[string]action

func init() {
	actions = map[string]action{
		"pick": pickNet, "nets": chooseNets, "metal": answerMetal, "cautions": confirmCautions,
		"polarity": sayPolarity, "rotate": rotate,
		"pass-swap": skipSwap, "tips": setTips, "nulled": confirmNull, "value": typeValue, "touch": touch,
		"lift": lift, "meter": setMeter,
		"aim": aimAt, "again": readAgain, "advice": backToAdvice, "undo": takeBack, "edit": editReading,
		"doubt": doubtReading, "drop": dropReading,
		"mend": turnTo("mend"), "read": turnTo("read"), "move": showMove, "start": startMove,
		"outcome": recordOutcome,
		"settle":  settleDoubt, "assume": assume, "role": setRole, "copy": setCopy, "as-read": clearOverrides,
		"take-over": takeOver, "keep-ours": settleConflict(true), "keep-file": settleConflict(false),
		"cool": confirmCool, "cause": recordCause, "check": tickCheck, "close": closeCase,
		"cannot": cannotReach, "four-wire": readFourWire,
		"saw": tellSeen, "seen-at": seenWhere, "seen-what": seenWhat, "see-again": seeAgain,
		"refit": startRefit, "leave-off": leaveOff, "back": leaveAsked,
	}
}

// Do carries out an act. What is confirmed is on the disk when it returns.
func (j *Session) Do(a answer.Act) error {
	err := j.locked(func() error {
		defer j.syncStream()
		return j.do(a)
	})
	j.changed()
	if err == nil {
		j.prefetch()
		j.countDown()
		j.saveSnapshot()
	}
	return err
}

// locked does something while nothing else changes the session, and lets go of it
// whatever happens.
func (j *Session) locked(do func() error) error {
	j.mu.Lock()
	defer j.mu.Unlock()
	return do()
}

func (j *Session) do(a answer.Act) error {
	do, known := actions[a.Do]
	switch {
	case !known:
		return &answer.Error{Kind: answer.Misuse, What: fmt.Sprintf("there is no act %.40q", a.Do)}
	case a.Revision != j.c.Steps.Revision:
		return &answer.Error{Kind: answer.Conflict, What: "this case has moved on in another window",
			Hint: "look at where it stands now, then answer again if it is still needed"}
	case j.busy != "":
		return &answer.Error{Kind: answer.Busy, What: "still at work: " + j.busy,
			Hint: "wait a moment, then do it again"}
	}
	if j.board == nil && !slices.Contains(withoutBoard, a.Do) {
		return &answer.Error{Kind: answer.Misuse, What: "no board is loaded",
			Hint: "say what its files are, or bring it again"}
	}
	if !slices.Contains(ofHolding, a.Do) {
		if err := j.mayAct(); err != nil {
			return err
		}
	}
	next := clone(j.c)
	j.ask = nil // whatever is done now answers it, or leaves it
	j.heardValue = ""
	save, err := do(j, next, a)
	if err != nil || !save {
		return err
	}
	if err := j.save(next, a); err != nil {
		j.heardValue = ""
		return err
	}
	return nil
}

// save confirms what an act made of the case.
func (j *Session) save(next *record.Case, a answer.Act) error {
	next.Steps.Revision++
	return j.replace(next, func() error { return j.store.Commit(next, a) })
}

// replace makes another case the session's once it is on the disk; where its nets
// or bodies changed, their copper is solved anew.
func (j *Session) replace(next *record.Case, write func() error) error {
	anew := next.Nets != j.c.Nets || !sameMetal(next.Metal, j.c.Metal) || j.pair == nil && j.board != nil &&
		ready(next, j.board)
	reread := boardKey(next) != boardKey(j.c)
	was, wasBoard := j.solution, j.board
	if reread {
		j.board = nil
	}
	if anew = anew || reread; anew {
		j.liftTips()
		j.solution = solution{}
	}
	if err := j.commit(next, write); err != nil {
		j.solution, j.board = was, wasBoard
		return err
	}
	j.picked, j.aim, j.retouch, j.move, j.ask = nil, nil, 0, 0, nil
	j.cannot, j.instead = "", nil
	switch {
	case reread:
		j.busy = "reading the board"
		go j.background(j.load)
	case anew && ready(next, j.board):
		j.busy = "working out the two nets"
		go j.background(j.load)
	case j.step() == stepMetal: // an answer may be another than was reckoned with
		j.workAhead(next, next.Nets)
	}
	return nil
}

func sameMetal(a, b []record.Metal) bool {
	return slices.EqualFunc(a, b, func(a, b record.Metal) bool { return a.Part == b.Part && a.Net == b.Net })
}

// pickNet taps a net; a second tap on it lets it go.
func pickNet(j *Session, _ *record.Case, a answer.Act) (bool, error) {
	if j.step() != stepNets {
		return false, &answer.Error{Kind: answer.Misuse, What: "the nets are chosen already"}
	}
	n, err := j.board.Nets.ByName(a.Text)
	if err != nil {
		return false, answer.AsError(err)
	}
	name := j.board.Nets.Nets[n].Name
	if i := slices.Index(j.picked, name); i >= 0 {
		j.picked = slices.Delete(slices.Clone(j.picked), i, i+1)
		return false, nil
	}
	j.picked = append(slices.Clone(j.picked), name)
	if len(j.picked) > 2 {
		j.picked = j.picked[1:]
	}
	if len(j.picked) == 2 {
		j.workAhead(j.c, [2]string(j.picked))
	}
	return false, nil
}

// chooseNets starts with the two picked nets, or with those given.
func chooseNets(j *Session, next *record.Case, a answer.Act) (bool, error) {
	names := j.picked
	if a.Nets != nil { // a pair from a list
		names = a.Nets
	}
	if len(names) != 2 {
		return false, &answer.Error{Kind: answer.Misuse, What: "two nets are needed",
			Hint: "tap one on the board, or search its name"}
	}
	s := &engine.Pair{Board: j.board.Board}
	if err := s.ChooseNets(names); err != nil {
		return false, answer.AsError(err)
	}
	next.Nets, next.Steps.BlackNet = s.Names, ""
	return true, nil
}

// answerMetal says whether the part asked about has a metal body.
func answerMetal(j *Session, next *record.Case, a answer.Act) (bool, error) {
	m := j.board.metalToAsk(next)
	if m == nil {
		return false, &answer.Error{Kind: answer.Misuse, What: "no metal is asked about"}
	}
	next.Steps.Asked = append(next.Steps.Asked, m.Part)
	if a.Text == "yes" {
		next.Metal = append(next.Metal, record.Metal{Part: m.Part, Net: m.Net})
	}
	return true, nil
}

func confirmCautions(_ *Session, next *record.Case, _ answer.Act) (bool, error) {
	next.Steps.Cautions = true
	return true, nil
}

func skipSwap(_ *Session, next *record.Case, _ answer.Act) (bool, error) {
	next.Steps.Skipped = true
	return true, nil
}

// setTips says how the tips are held.
func setTips(_ *Session, next *record.Case, a answer.Act) (bool, error) {
	switch a.Text {
	case "held":
		next.Meter.Profile = handHeldMeter
	case "clipped":
		next.Meter.Profile = engine.DefaultMeter
	default:
		return false, &answer.Error{Kind: answer.Misuse, What: "tips are held or clipped"}
	}
	return true, nil
}

// confirmNull says that the meter has nulled the leads by itself.
func confirmNull(j *Session, next *record.Case, _ answer.Act) (bool, error) {
	if j.sim != nil {
		return touch(j, next, answer.Act{})
	}
	next.Steps.Drifted = false
	next.Nulls = append(next.Nulls, record.Null{After: len(next.Readings),
		At: j.folder.now().UTC().Truncate(time.Second)})
	return true, nil
}

// aimAt chooses a place to touch over the advice: of the first net for the
// red tip, of the second for the black.
func aimAt(j *Session, _ *record.Case, a answer.Act) (bool, error) {
	if j.pair == nil {
		return false, &answer.Error{Kind: answer.Misuse, What: "the nets are not ready yet"}
	}
	if a.Place == "" { // one of the advised
		offered := j.offered()
		if a.N < 0 || a.N >= len(offered) {
			return false, &answer.Error{Kind: answer.Misuse, What: "there is no such advice"}
		}
		j.aimFor(choiceOf(offered[a.N]))
		return false, nil
	}
	spot, err := j.pair.Resolve(a.Place)
	if err != nil {
		return false, answer.AsError(err)
	}
	if err := j.pair.OnNets(engine.Contacts{In: spot, Out: spot}); err != nil {
		return false, answer.AsError(err)
	}
	c := answer.Choice{Kind: "two-wire"}
	if was, ok := j.choice(); ok && was.Kind == c.Kind {
		c = was
	} else {
		c.From, c.To = anyPlaces(j.pair)
	}
	if j.pair.GroupOfNet(spot.Net) == 0 {
		c.From = a.Place
	} else {
		c.To = a.Place
	}
	j.aimFor(c)
	return false, nil
}

// readAgain aims at a reading's places: the next value is one more touch of
// that reading, of which the lowest that repeats is believed.
func readAgain(j *Session, next *record.Case, a answer.Act) (bool, error) {
	r, err := readingOf(next, a.N)
	if err != nil {
		return false, err
	}
	next.Steps.Turn = "read"
	if j.lookUnderWay() { // it is left without a finding
		endLook(next)
		j.liftTips()
		if j.sim != nil {
			j.sim.endRework()
		}
	}
	if err := j.save(next, a); err != nil {
		return false, err
	}
	j.aimAgain(r, a.N)
	return false, nil
}

// aimAgain aims at the places of reading n.
func (j *Session) aimAgain(r *record.Reading, n int) {
	c := answer.Choice{Kind: "two-wire", From: r.From, To: r.To}
	if r.FourWire {
		c = answer.Choice{Kind: "four-wire", Current: r.Current[:], Sense: r.Sense[:]}
	}
	j.aim, j.retouch = &c, n+1
}

func backToAdvice(j *Session, _ *record.Case, _ answer.Act) (bool, error) {
	j.aim, j.retouch, j.cannot, j.instead = nil, 0, "", nil
	return false, nil
}

func readingOf(next *record.Case, n int) (*record.Reading, error) {
	if n < 0 || n >= len(next.Readings) {
		return nil, &answer.Error{Kind: answer.Misuse, What: fmt.Sprintf("there is no reading %d", n+1)}
	}
	return &next.Readings[n], nil
}

func editReading(_ *Session, next *record.Case, a answer.Act) (bool, error) {
	r, err := readingOf(next, a.N)
	if err != nil {
		return false, err
	}
	ohms, err := unit.ParseReading(a.Text)
	if err != nil {
		return false, &answer.Error{Kind: answer.Misuse, What: err.Error()}
	}
	r.Ohms, r.Touches, r.Volts, r.Amps = ohms, nil, nil, nil
	return true, nil
}

func doubtReading(_ *Session, next *record.Case, a answer.Act) (bool, error) {
	r, err := readingOf(next, a.N)
	if err != nil {
		return false, err
	}
	yes := r.Doubtful == nil || !*r.Doubtful
	if r.Doubtful = &yes; !yes {
		r.Doubtful = nil
	}
	return true, nil
}

// dropReading takes one reading out; findings and nulls keep their place. A
// reading whose change a finding tells stays.
func dropReading(_ *Session, next *record.Case, a answer.Act) (bool, error) {
	if _, err := readingOf(next, a.N); err != nil {
		return false, err
	}
	for i := range next.Findings {
		f := &next.Findings[i]
		watched := f.Reading
		if f.Change != nil && watched == 0 {
			watched = f.After
		}
		switch {
		case f.Change != nil && watched == a.N+1:
			return false, &answer.Error{Kind: answer.Misuse,
				What: fmt.Sprintf("reading %d is the one that was watched while copper was warmed or chilled", a.N+1),
				Hint: "mark it doubtful instead"}
		case f.Reading > a.N+1:
			f.Reading--
		}
		if f.After > a.N {
			f.After--
		}
	}
	next.Readings = slices.Delete(next.Readings, a.N, a.N+1)
	dropTouches(next, a.N)
	if next.Steps.Checked > a.N {
		next.Steps.Checked--
	}
	for i := range next.Nulls {
		if next.Nulls[i].After > a.N {
			next.Nulls[i].After--
		}
	}
	return true, nil
}

// turnTo goes to reading or repair over the advice.
func turnTo(where string) action {
	return func(_ *Session, next *record.Case, _ answer.Act) (bool, error) {
		next.Steps.Turn = where
		return true, nil
	}
}
