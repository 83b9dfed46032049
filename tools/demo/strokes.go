package main

// shortestWide is the least length of a wide run; shorter ones stay thin, so
// that a track does not swell for a moment (micrometres).
const shortestWide = 600

// strokes turns a path into straight tracks and vias. A supply is wide where
// there is room and thin where there is not.
func (r *router) strokes(j *job, path []int) ([]track, []via) {
	var tracks []track
	var vias []via
	for i := 0; i < len(path)-1; {
		if path[i]%gridN == path[i+1]%gridN {
			vias = append(vias, via{j.net, nodePoint(path[i] % gridN)})
			i++
			continue
		}
		end := i + 1
		for end+1 < len(path) && path[end+1]/gridN == path[i]/gridN {
			end++
		}
		tracks = append(tracks, r.run(j, path[i:end+1])...)
		i = end
	}
	return tracks, vias
}

// run turns a path on one layer into tracks.
func (r *router) run(j *job, path []int) []track {
	broad := r.widths(j, path)
	layer := path[0] / gridN
	width := func(i int) int {
		if broad[i] {
			return 2 * halfWidth[j.class]
		}
		return 2 * halfWidth[thin]
	}
	var tracks []track
	for i := 0; i < len(path)-1; {
		end := i + 1
		for end+1 < len(path) && path[end+1]-path[end] == path[i+1]-path[i] && width(end) == width(i) {
			end++
		}
		tracks = append(tracks, track{j.net, 1 << layer, nodePoint(path[i] % gridN), nodePoint(path[end] % gridN),
			width(i)})
		i = end
	}
	return tracks
}

// widths says for each step of a path whether it may have the job's class.
func (r *router) widths(j *job, path []int) []bool {
	layer := path[0] / gridN
	free := func(v int) bool {
		n := v % gridN
		return r.g.hard[j.class][layer][n] == 0 && r.g.soft[j.class][layer][n] == 0
	}
	broad := make([]bool, len(path)-1)
	for i := range broad {
		broad[i] = j.class == thin || free(path[i]) && free(path[i+1])
	}
	for i := 0; i < len(broad); {
		end := i
		for end < len(broad) && broad[end] == broad[i] {
			end++
		}
		if broad[i] && j.class != thin && (end-i)*gridStep < shortestWide && len(broad) > end-i {
			for k := i; k < end; k++ {
				broad[k] = false
			}
		}
		i = end
	}
	return broad
}
