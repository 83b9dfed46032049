package sparse

import "ohmward/internal/unionfind"

// minSheetSize is how many vertices there are at least to each sheet on average;
// where they are fewer, places in the plan say nothing about sheets.
const minSheetSize = 4

// findSheets tells the sheets of a stack apart: a sheet is what hangs together
// by edges that lead from one place of the plan to another. Edges between
// vertices at one and the same place are ties between sheets (barrels).
//
// It returns for each vertex how many ties its sheet is away from an outer
// one, or nil if all is one sheet. Parting a stack between two sheets often
// takes far fewer vertices than a cut through all of them: one for each tie.
func (d *dissection) findSheets() []float64 {
	of, size := d.components()
	if len(size) < 2 || len(size)*minSheetSize > len(of) {
		return nil
	}
	ties := make([][]int32, len(size))
	for v := range of {
		for _, w := range d.neighbours(int32(v)) {
			if of[w] != of[v] {
				ties[of[v]] = append(ties[of[v]], of[w])
			}
		}
	}
	steps := stepsFrom(outerSheet(size, ties), ties)
	level := make([]float64, len(of))
	for v := range level {
		level[v] = float64(steps[of[v]])
	}
	return level
}

// components numbers the sheets, in the order of their first vertices: of each
// vertex, and how many are in each. Vertices that hang together are joined
// under the first of them, as they come, which keeps to what is near in memory.
func (d *dissection) components() (of []int32, size []int) {
	sets := unionfind.New(len(d.piece))
	for v := range int32(len(sets)) {
		for _, w := range d.neighbours(v) {
			if w < v && (d.x[v] != d.x[w] || d.y[v] != d.y[w]) {
				sets.Join(int(v), int(w))
			}
		}
	}
	of = sets
	for v, under := range of {
		if int(under) == v {
			of[v] = int32(len(size))
			size = append(size, 0)
		} else {
			of[v] = of[under]
		}
		size[of[v]]++
	}
	return of, size
}

// outerSheet finds a large sheet at one end of the stack: from the largest to
// the farthest that is not much smaller, and once more.
func outerSheet(size []int, ties [][]int32) int32 {
	outer := int32(0)
	for k, s := range size {
		if s > size[outer] {
			outer = int32(k)
		}
	}
	largest := size[outer]
	for range 2 {
		steps := stepsFrom(outer, ties)
		for k, s := range size {
			if 4*s >= largest && steps[k] > steps[outer] {
				outer = int32(k)
			}
		}
	}
	return outer
}

// stepsFrom counts the ties from sheet k to each, -1 where none lead there.
func stepsFrom(k int32, ties [][]int32) []int32 {
	steps := make([]int32, len(ties))
	for i := range steps {
		steps[i] = none
	}
	steps[k] = 0
	queue := []int32{k}
	for i := 0; i < len(queue); i++ {
		for _, t := range ties[queue[i]] {
			if steps[t] == none {
				steps[t] = steps[queue[i]] + 1
				queue = append(queue, t)
			}
		}
	}
	return steps
}
