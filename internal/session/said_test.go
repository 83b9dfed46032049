package session

import (
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"ohmward/internal/answer"
)

// said lists every text of a view that a person reads or hears.
func said(v any) (out []string) {
	return saidIn(reflect.ValueOf(v), nil)
}

// unsaid are fields that hold no words but what programs tell each other.
var unsaid = []string{"ID", "Place", "Key", "Act", "Read", "Step", "Kind", "Roles"}

func saidIn(v reflect.Value, out []string) []string {
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			out = saidIn(v.Elem(), out)
		}
	case reflect.String:
		out = append(out, v.String())
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			out = saidIn(v.Index(i), out)
		}
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[answer.Assumed]() {
			return out // figures as files or people state them
		}
		for i := range v.NumField() {
			if !slices.Contains(unsaid, v.Type().Field(i).Name) {
				out = saidIn(v.Field(i), out)
			}
		}
	}
	return out
}

// twoWireDigits is what is forbidden as long as nothing is read four-wire.
const twoWireDigits = "more digits than a two-wire meter has"

// forbidden are shapes that nothing said may have.
var forbidden = map[string]*regexp.Regexp{
	"a probability as statisticians write it": regexp.MustCompile(`\(p \d|p = 0\.|probability`),
	"a place finer than a tip":                regexp.MustCompile(`\d\.\d\d+(, -?\d+\.\d+)? mm\b|\b0\.0 mm`),
	"microohms":                               regexp.MustCompile(`[µu]Ω`),
	"more digits than a meter has":            regexp.MustCompile(`\d\.\d\d\d+ mΩ`),
	twoWireDigits:                             regexp.MustCompile(`\d\.\d\d+ mΩ`),
	"a minus before nothing":                  regexp.MustCompile(`-0(\.0*)? mΩ`),
	"words that are not plain": regexp.MustCompile(`one place in|[Mm]eeting the two|half of the answers|` +
		`shorting bar|L\d@|the list\b|posterior|[Ss]uspect|NaN|%!`),
	"a doubled stop": regexp.MustCompile(`\.\.( |$)|,,|;;`),
}

// advisesFourWire tells whether one of the readings that are advised is four-wire.
func advisesFourWire(j *Session) bool {
	j.mu.Lock()
	defer j.mu.Unlock()
	return j.answer != nil && slices.ContainsFunc(j.answer.Next, func(n answer.Next) bool {
		return n.Kind == "four-wire"
	})
}

// aimsAgain tells whether a reading is to be touched once more.
func aimsAgain(j *Session) bool {
	j.mu.Lock()
	defer j.mu.Unlock()
	return j.retouch > 0
}

// plainly fails where something that a view says is of a forbidden shape, or where
// two rows on offer read alike.
func plainly(t *testing.T, j *Session, v *answer.View) {
	t.Helper()
	fourWire := v.Target != nil && v.Target.Kind == "four-wire" || advisesFourWire(j) ||
		slices.ContainsFunc(v.Readings, func(r answer.Taken) bool { return strings.HasPrefix(r.Places, "volts ") })
	for _, text := range said(v) {
		for what, shape := range forbidden {
			if what == twoWireDigits && fourWire {
				continue
			}
			if m := shape.FindString(text); m != "" {
				t.Errorf("at %s: %s, %q, in %q", v.Step, what, m, text)
			}
		}
	}
	alike := func(what string, rows []string) {
		slices.Sort(rows)
		if n := len(slices.Compact(slices.Clone(rows))); n < len(rows) {
			t.Errorf("at %s: %s read alike: %q", v.Step, what, rows)
		}
	}
	var places, doing, others []string
	if v.Where != nil {
		for _, p := range v.Where.Places {
			places = append(places, p.Words)
		}
	}
	for _, o := range v.Card.Doing {
		doing = append(doing, o.Words)
	}
	if v.Target != nil {
		for _, p := range v.Target.Others {
			others = append(others, p.From+" – "+p.To)
		}
	}
	alike("places", places)
	alike("things to do", doing)
	alike("other places to touch", others)
}

// figure is a chance in words or per cent.
var chanceShape = regexp.MustCompile(`\d+ in \d+|\d+ %|times in|almost certain|hardly likely`)

// TestSaidPlainly walks an invented unit from the first caution to the closed
// case and looks at every word on the way: none is of a forbidden shape, rows are
// told apart, and a move has one chance.
func TestSaidPlainly(t *testing.T) {
	s := newTestShelf(t, t.TempDir())
	id, err := s.BeginPractice(2)
	if err != nil {
		t.Fatal(err)
	}
	j := openJob(t, s, id)
	moves, where := 0, 0
	for range 80 {
		v := settled(t, j)
		plainly(t, j, v)
		if v.Where != nil && v.Where.Chance != "" {
			where++
			if !strings.Contains(v.Where.Chance, " that it ") {
				t.Errorf("a chance of what? %q", v.Where.Chance)
			}
		}
		if v.Step == stepRepair {
			moves++
			c := v.Card
			text := strings.Join(append(said(c.Facts), append(c.Text, c.Head)...), " / ")
			if n := len(chanceShape.FindAllString(text, -1)); n != 1 {
				t.Errorf("%d chances of one move: %q", n, text)
			}
		}
		if v.Step == stepClosed {
			break
		}
		if v.Step == stepRework {
			v = reworked(t, j)
			plainly(t, j, v)
		}
		if v.Step == stepProven {
			if k := slices.IndexFunc(v.Card.Items, func(i answer.Item) bool { return !i.Done }); k >= 0 {
				must(t, j, *v.Card.Items[k].Act)
				continue
			}
		}
		if a := v.Card.Doing[0].Act; a.Do != "lift" {
			must(t, j, a)
		}
	}
	if v := j.View(); v.Step != stepClosed || moves == 0 || where == 0 {
		t.Errorf("ended at %s with %d moves and %d places told", v.Step, moves, where)
	}
}

// TestSaidPlainlyTyped does so for values that are typed, on a board with questions
// about metal, with tips held by hand, a reading that fits no place, and a short
// that none of the moves clears.
func TestSaidPlainlyTyped(t *testing.T) {
	if testing.Short() {
		t.Skip("solves the demo's ground: left out of -short")
	}
	s := newTestShelf(t, t.TempDir())
	id, err := s.BeginOn("demo")
	if err != nil {
		t.Fatal(err)
	}
	j := openJob(t, s, id)
	do := func(a answer.Act) *answer.View {
		t.Helper()
		v := must(t, j, a)
		plainly(t, j, v)
		return v
	}
	do(answer.Act{Do: "pick", Text: "+3V3"})
	do(answer.Act{Do: "nets", Nets: []string{"+3V3", "GND"}})
	for j.View().Step == stepMetal {
		do(answer.Act{Do: "metal", Text: "no"})
	}
	do(answer.Act{Do: "cautions"})
	for _, text := range []string{"48.12m", "0.0481", "48.3m"} {
		do(answer.Act{Do: "value", Text: text})
	}
	do(answer.Act{Do: "nulled"})
	seen := map[string]bool{}
	values := []string{"41.23 41.3 44.0m", "38.9m", "45.6m", "412m", "52.71m"}
	for range 24 {
		v := settled(t, j)
		seen[v.Step] = true
		switch {
		case v.Step == stepRead && len(values) > 0:
			do(answer.Act{Do: "value", Text: values[0]})
			values = values[1:]
		case v.Step == stepRead && aimsAgain(j):
			do(answer.Act{Do: "value", Text: "47.2m"})
		case v.Step == stepRead && len(v.Card.Doing) > 0:
			do(answer.Act{Do: "mend"})
		case v.Step == stepRead:
			do(answer.Act{Do: "value", Text: "47.2m"})
		case v.Step == stepNull:
			do(answer.Act{Do: "nulled"})
		case v.Step == stepCheck:
			do(answer.Act{Do: "value", Text: "41.2m"})
		case v.Step == stepRepair && v.Card.Doing[0].Act.Do == "start":
			do(answer.Act{Do: "start"})
		case v.Step == stepRework:
			do(answer.Act{Do: "outcome", Text: "remains"})
		default:
			do(v.Card.Doing[0].Act)
		}
	}
	for _, step := range []string{stepRead, stepRepair, stepRework} {
		if !seen[step] {
			t.Errorf("not at %s: %v", step, seen)
		}
	}
}
