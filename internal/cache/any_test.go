package cache

import (
	"reflect"
	"testing"

	"ohmward/geom"
)

type anything struct {
	A      int
	b      float64
	C      []string
	D      map[string]float64
	E      *anything
	F      [2]bool
	G      geom.Region
	Called func()
	Kept   *Store
}

func sample() anything {
	return anything{A: 1, b: 2, C: []string{"x", "yz"}, D: map[string]float64{"p": 1, "q": 2}, E: &anything{A: 3}, F: [2]bool{true, false},
		G: geom.Region{{Outer: geom.Ring{{X: 0, Y: 0}, {X: 9, Y: 0}, {X: 0, Y: 9}}}}}
}

func keyOf(v any) Key {
	k := NewKey("anything")
	k.Any(v)
	return k.Key()
}

// TestAny: a key changes with every field that says something, and with
// nothing else.
func TestAny(t *testing.T) {
	want := keyOf(sample())
	for name, c := range map[string]struct {
		change func(*anything)
		same   bool
	}{
		"nothing":          {func(*anything) {}, true},
		"a number":         {func(v *anything) { v.A++ }, false},
		"a hidden number":  {func(v *anything) { v.b++ }, false},
		"a text":           {func(v *anything) { v.C[0] = "w" }, false},
		"where texts part": {func(v *anything) { v.C = []string{"xy", "z"} }, false},
		"a map's value":    {func(v *anything) { v.D["p"] = 3 }, false},
		"a map's key":      {func(v *anything) { v.D = map[string]float64{"p": 1, "r": 2} }, false},
		"behind a pointer": {func(v *anything) { v.E.A = 4 }, false},
		"no pointer":       {func(v *anything) { v.E = nil }, false},
		"a truth":          {func(v *anything) { v.F[1] = true }, false},
		"a point":          {func(v *anything) { v.G[0].Outer[2].Y++ }, false},
		"a function":       {func(v *anything) { v.Called = func() {} }, true},
		"a store":          {func(v *anything) { v.Kept = new(Store) }, true},
	} {
		v := sample()
		c.change(&v)
		if same := keyOf(v) == want; same != c.same {
			t.Errorf("%s changed: the same key: %v", name, same)
		}
	}
	defer func() {
		if recover() == nil {
			t.Error("a key was made of a channel")
		}
	}()
	keyOf(make(chan int))
}

// TestGob: a value comes back as it was, and what is cut short does not.
func TestGob(t *testing.T) {
	type record struct {
		A []float64
		B map[string]string
	}
	want := record{[]float64{1, 0.1, 1e-300}, map[string]string{"x": "y"}}
	w := new(Writer)
	w.Gob(want)
	w.Int(7)
	r := &Reader{left: w.buf}
	var got record
	if r.Gob(&got); !reflect.DeepEqual(got, want) || r.Int() != 7 || !r.done() {
		t.Errorf("got %+v, want %+v", got, want)
	}
	for n := range len(w.buf) - 1 {
		r := &Reader{left: w.buf[:n]}
		if r.Gob(new(record)); !r.Bad() {
			t.Fatalf("%d of %d bytes were taken", n, len(w.buf))
		}
	}
}
