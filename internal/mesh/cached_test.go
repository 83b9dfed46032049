package mesh

import (
	"reflect"
	"testing"

	"ohmward/geom"
	"ohmward/internal/cache"
)

func keptInput() Input {
	square := geom.Ring{{X: 0, Y: 0}, {X: 4_000_000, Y: 0}, {X: 4_000_000, Y: 3_000_000}, {X: 0, Y: 3_000_000}}
	hole := geom.Ring{{X: 1_000_000, Y: 1_000_000}, {X: 1_000_000, Y: 2_000_000},
		{X: 2_000_000, Y: 2_000_000}, {X: 2_000_000, Y: 1_000_000}}
	rim := []geom.Point{{X: 3_000_000, Y: 1_500_000}, {X: 3_300_000, Y: 1_500_000},
		{X: 3_000_000, Y: 1_800_000}, {X: 3_000_000, Y: 1_500_000}}
	return Input{Region: geom.Region{{Outer: square, Holes: []geom.Ring{hole}}}, Curves: [][]geom.Point{rim},
		Sizes:   []Size{{At: geom.Point{X: 500_000, Y: 500_000}, Radius: 200_000, Edge: 100_000}},
		MaxEdge: 700_000, Simplify: 1000}
}

// TestKept compares a mesh read back with the one made, field by field.
func TestKept(t *testing.T) {
	in, s := keptInput(), cache.In(t.TempDir(), "p", 1e8)
	want, err := Triangulate(in)
	if err != nil {
		t.Fatal(err)
	}
	for _, what := range []string{"made", "read back"} {
		got, err := TriangulateCached(s, in)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%s: not the same mesh", what)
		}
	}
}

// TestKeyCoversInput changes every field of the input: the key must follow.
func TestKeyCoversInput(t *testing.T) {
	in := keptInput()
	base := in.key()
	v := reflect.ValueOf(&in).Elem()
	for i := range v.NumField() {
		name, f := v.Type().Field(i).Name, v.Field(i)
		old := reflect.ValueOf(f.Interface())
		switch f.Kind() {
		case reflect.Slice:
			f.Set(f.Slice(0, 0))
		case reflect.Int64, reflect.Int:
			f.SetInt(f.Int() + 1)
		case reflect.Float64:
			f.SetFloat(f.Float() + 1)
		case reflect.Bool:
			f.SetBool(!f.Bool())
		default:
			t.Fatalf("%s: a field of a kind this test does not know", name)
		}
		if in.key() == base {
			t.Errorf("the key does not depend on %s", name)
		}
		f.Set(old)
	}
	if in.key() != base {
		t.Error("the key is not a function of the input")
	}
}
