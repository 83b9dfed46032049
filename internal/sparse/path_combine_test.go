package sparse

import (
	"math"
	"testing"
)

// A combined path must stand for the combined vector.
func TestCombine(t *testing.T) {
	const n = 40
	b := NewBuilder(n * n)
	x, y := make([]float64, n*n), make([]float64, n*n)
	for i := range n * n {
		x[i], y[i] = float64(i%n), float64(i/n)
		b.Add(i, i, 0.01)
		for _, j := range []int{i + 1, i + n} {
			if j < n*n && (j != i+1 || j%n != 0) {
				b.Add(i, i, 1)
				b.Add(j, j, 1)
				b.Add(i, j, -1)
			}
		}
	}
	f, err := Factorise(b.Build(), x, y)
	if err != nil {
		t.Fatal(err)
	}
	vectors := []Vector{{[]int32{3}, []float64{1}}, {[]int32{n*n - 2, 70}, []float64{0.5, 0.5}},
		{[]int32{n * n / 2}, []float64{2}}}
	weight := []float64{0.3, -1.5, 0.7}
	var joint Vector
	for i, v := range vectors {
		for k, u := range v.Index {
			joint.Index = append(joint.Index, u)
			joint.Value = append(joint.Value, weight[i]*v.Value[k])
		}
	}
	paths := f.ForwardMany(vectors)
	sum, want := Combine(paths, weight), f.Forward(joint)
	for i, p := range append(paths, want) {
		if got, w := Dot(sum, p), Dot(want, p); math.Abs(got-w) > 1e-12*math.Abs(w) {
			t.Errorf("dot with path %d: got %.15g, want %.15g", i, got, w)
		}
	}
}

// Forward is the path of one vector.
func (f *Factor) Forward(v Vector) Path { return f.ForwardMany([]Vector{v})[0] }

// Len is the number of values held.
func (p Path) Len() int { return len(p.value) + len(p.whole) }
