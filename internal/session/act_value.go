package session

import (
	"fmt"
	"strings"

	"ohmward/internal/answer"
	"ohmward/internal/record"
	"ohmward/unit"
)

// typeValue takes a value as people type it. Of a four-wire reading it asks for the
// sign where none was typed.
func typeValue(j *Session, next *record.Case, a answer.Act) (bool, error) {
	list, err := parseTouches(a.Text)
	if err != nil {
		return false, &answer.Error{Kind: answer.Misuse, What: err.Error()}
	}
	text := strings.TrimSpace(a.Text)
	at, ok := j.choice()
	four := ok && at.Kind == "four-wire"
	if four && j.step() == stepRead && len(list) == 1 && !list[0].IsOpen() && !signed(text) {
		j.ask = signCard(text, list[0])
		return false, nil
	}
	if err := j.takeTyped(next, list); err != nil {
		return false, err
	}
	j.hear(four, list...)
	return true, nil
}

// signed tells whether a value was typed with its sign.
func signed(text string) bool {
	return strings.ContainsAny(text[:1], "+-") || strings.HasPrefix(text, "\u2212")
}

// signCard asks whether a value typed without a sign is of plus or of minus.
func signCard(text string, ohms unit.Resistance) *answer.Card {
	value := func(sign, words string, is unit.Resistance) answer.Option {
		return answer.Option{Words: fmt.Sprintf("%s%v", words, is), Act: answer.Act{Do: "value", Text: sign + text}}
	}
	return &answer.Card{Head: "Plus or minus?", Tone: "care",
		Text: []string{fmt.Sprintf("You typed %v without a sign. Volts of a four-wire reading have one: does the "+
			"meter show a minus?", ohms), polarityWords},
		Doing: []answer.Option{value("+", "No minus: +", ohms), value("-", "A minus: ", -ohms)}}
}

// polarityWords say which clip and which tip are plus.
const polarityWords = "Plus of the current is the clip where it goes in, plus of the volts the red tip. A minus " +
	"then means that the black tip lies nearer the plus clip on the way of the current: it belongs to the value."

// meterAgainst tells why it cannot be taken that the short is open, or that it
// remains: the meter on this bench says otherwise, or has not settled.
func (j *Session) meterAgainst(open bool) error {
	if !j.live.has || j.live.stop == nil && (j.wire == nil || !j.live.steadySeen) || j.step() != stepRework {
		return nil
	}
	now := j.live.now.Ohms
	shows := fmt.Sprintf("the meter shows %v", now)
	switch {
	case !j.live.steadySeen || j.live.open == isShort(float64(now)):
		return &answer.Error{Kind: answer.Misuse, What: shows + " and has not settled: hold still, then say it again",
			Hint: "what the meter says counts"}
	case j.live.open == open:
		return nil
	case open:
		return &answer.Error{Kind: answer.Misuse, What: shows + ": touch again",
			Hint: "that is still a short; what the meter says counts"}
	}
	return &answer.Error{Kind: answer.Misuse, What: shows + ": touch again",
		Hint: "that is open and no short; what the meter says counts"}
}
