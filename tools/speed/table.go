package main

import (
	"fmt"
	"io"
	"math"
)

// row is a finished case.
type row struct {
	shape            string
	n                int
	one, two, tuned  figures // ours: one core, two, tuned build on one core
	reference        figures // the better ordering
	ordering         string
	amd, dissections figures
}

const header = `| mesh | unknowns | | analyse s | factor s | 32 sides s | 1 side s | peak MB | entries of L M | Gflop |
| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |
`

func (r *row) print(w io.Writer) {
	line := func(name string, f figures, kind string) {
		if f == nil {
			return
		}
		fmt.Fprintf(w, "| %s | %d | %s | %.3f | %.3f | %.3f | %.4f | %.0f | %.2f | %.2f |\n", r.shape, r.n, name,
			f["analyse"+kind], f["factor"+kind], f["solve32"+kind], f["solve1"+kind], f["peak"]/1e6, f["nnz"]/1e6,
			f["flops"]/1e9)
	}
	line("ours, 1 core", r.one, "_cpu")
	line("ours, 2 cores, by the clock", r.two, "")
	line("ours, 1 core, tuned build", r.tuned, "_cpu")
	line("CHOLMOD, AMD", r.amd, "_cpu")
	line("CHOLMOD, nested dissection", r.dissections, "_cpu")
}

const ratioHeader = `| mesh | unknowns | against | analyse + factor (goal 1.0) | 32 sides (1.3) | memory (0.7) | 2 cores faster, analyse + factor (1.6) | the same, 32 sides (1.6) | tuned / plain |
| --- | --- | --- | --- | --- | --- | --- | --- | --- |
`

func (r *row) printRatios(w io.Writer) {
	tuned := "-"
	if r.tuned != nil {
		tuned = fmt.Sprintf("%.2f", r.tuned.total()/r.one.total())
	}
	against := [4]string{"-", "-", "-", "-"}
	if r.reference != nil {
		against[0] = r.ordering
		for i, v := range []float64{r.one.factored() / r.reference.factored(),
			r.one["solve32_cpu"] / r.reference["solve32_cpu"], r.one["peak"] / r.reference["peak"]} {
			against[1+i] = fmt.Sprintf("%.2f", v)
		}
	}
	fmt.Fprintf(w, "| %s | %d | %s | %s | %s | %s | %.2f | %.2f | %s |\n", r.shape, r.n, against[0], against[1],
		against[2], against[3],
		r.one.elapsed()/r.two.elapsed(), r.one["solve32"]/r.two["solve32"], tuned)
}

// printScaling tells how fast time and memory grow from the smallest to the
// largest case of each shape: the exponents of n, and for memory the growth
// beside that of n log n.
func printScaling(w io.Writer, rows []*row) {
	for i, a := range rows {
		if i > 0 && rows[i-1].shape == a.shape {
			continue
		}
		b := a
		for _, r := range rows {
			if r.shape == a.shape && r.n > b.n {
				b = r
			}
		}
		if b.n < 2*a.n {
			continue
		}
		n, m := float64(a.n), float64(b.n)
		exponent := math.Log(b.one.total()/a.one.total()) / math.Log(m/n)
		grown := b.one["peak"] / a.one["peak"]
		fmt.Fprintf(w, "Scaling of %s from %d to %d unknowns, one core: time as n^%.2f (limit 1.5); memory %.1f "+
			"times (n log n: %.1f times).\n",
			a.shape, a.n, b.n, exponent, grown, m*math.Log(m)/(n*math.Log(n)))
	}
}
