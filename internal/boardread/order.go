package boardread

import (
	"cmp"
	"fmt"
	"path"
	"slices"
	"strings"

	"ohmward/format"
	"ohmward/internal/board"
)

// severalBoards is the error for copper of several boards in sub-folders, of
// which one must be chosen.
func (a *assembly) severalBoards() error {
	type layer struct {
		number, inner int
		bottom        bool
	}
	seen := map[layer]*source{}
	for _, s := range a.of(useCopper) {
		if s.part || s.overridden {
			continue
		}
		k := layer{s.layer, s.inner, s.bottom}
		first, twice := seen[k]
		if !twice {
			seen[k] = s
			continue
		}
		one, other := path.Dir(first.path), path.Dir(s.path)
		if one == other || one == "." || first.sum == s.sum {
			continue
		}
		given := a.opt.givenName(a.b.Name)
		return fmt.Errorf("board: %s: several boards: %s and %s are the same copper layer: name the folder of "+
			"one, as %s/%s or %s/%s", a.b.Name, first.path, s.path, given, one, given, other)
	}
	return nil
}

// dropDuplicates ignores a file of a sub-folder whose twin of the same role
// and name lies in the folder itself or in an earlier sub-folder, and files
// whose names differ in capitals only; it is a doubt where they differ in
// what they hold.
func (a *assembly) dropDuplicates() {
	type key struct {
		use  use
		name string
	}
	seen := map[key]*source{}
	for _, s := range a.set {
		if s.part || s.use == useNone || s.use == useOther || s.use == useValues {
			continue
		}
		k := key{s.use, strings.ToLower(path.Base(s.path))}
		first, twice := seen[k]
		if !twice {
			seen[k] = s
			continue
		}
		if path.Dir(first.path) == path.Dir(s.path) && first.sum != s.sum {
			continue // names that differ in capitals: two files
		}
		s.ignore("same name and kind as " + first.path)
		if first.sum != s.sum {
			a.doubt(s.path, "ignored: %s has the same name and kind", first.path)
		}
	}
}

// orderCopper puts the copper files in order from top to bottom.
func (a *assembly) orderCopper() error {
	files := a.of(useCopper)
	if len(files) == 0 {
		return a.noCopper()
	}
	layers, err := a.placeCopper(files)
	if err != nil {
		return err
	}
	a.layers = layers
	for _, s := range a.set {
		if len(layers) == 1 && (s.use == useMask || s.use == usePaste) && s.side == board.Bottom && !s.part {
			return fmt.Errorf("board: no copper file for the bottom, but %s is its %s: add the bottom copper, or "+
				"take that file away if the board has none", s.path, s.role)
		}
	}
	if i := slices.Index(layers, nil); i >= 0 {
		return a.missingLayer(i+1, len(layers), files)
	}
	if len(layers) > 1 {
		a.spare = a.likeliest(a.spares(files)) // while files have the numbers that they came with
	}
	for i, s := range layers {
		s.layer = i + 1
		s.role = fmt.Sprintf("copper L%d", i+1)
	}
	return nil
}

// placeCopper gives every copper file its layer; nil where a layer has none.
func (a *assembly) placeCopper(files []*source) ([]*source, error) {
	n, err := a.layerCount(files)
	if err != nil {
		return nil, err
	}
	layers := make([]*source, n)
	var inner []*source
	put := func(i int, s *source) error {
		if i < 1 || i > n {
			return fmt.Errorf("board: %s: copper layer L%d of a board of %d layers", s.path, i, n)
		}
		if o := layers[i-1]; o != nil {
			if path.Dir(o.path) != path.Dir(s.path) {
				return fmt.Errorf("board: %s and %s: two files for copper layer L%d: if these are two boards, name the "+
					"folder of one", o.path, s.path, i)
			}
			return fmt.Errorf("board: %s and %s: two files for copper layer L%d: leave one in the folder, or %s",
				o.path, s.path, i, passOver(weaker(o, s)))
		}
		layers[i-1] = s
		return nil
	}
	for _, s := range files {
		switch {
		case s.layer > 0:
			err = put(s.layer, s)
		case s.bottom:
			err = put(n, s)
		case s.inner > 0:
			inner = append(inner, s)
		default:
			err = put(1, s)
		}
		if err != nil {
			return nil, err
		}
	}
	return layers, putInner(inner, put)
}

// putInner gives inner files named only by their order their layers. Names
// count the inner layers from 1, or all layers, so that the first inner one
// is 2.
func putInner(inner []*source, put func(int, *source) error) error {
	slices.SortStableFunc(inner, func(x, y *source) int { return cmp.Compare(x.inner, y.inner) })
	for k, s := range inner {
		if k > 0 && inner[k-1].inner == s.inner {
			return fmt.Errorf("board: %s and %s: two files for inner copper layer %d: leave one in the folder, or "+
				"say in ohmward.toml which layers they are", inner[k-1].path, s.path, s.inner)
		}
		if err := put(s.inner-min(inner[0].inner, 2)+2, s); err != nil {
			return err
		}
	}
	return nil
}

// layerCount tells how many copper layers the files stand for.
func (a *assembly) layerCount(files []*source) (int, error) {
	most, low, high, n := 0, 0, 0, 0
	bottom, open := false, false
	for _, s := range files {
		switch {
		case s.layer > 0:
			if s.layer >= most {
				most, open = s.layer, s.edge == format.Inner
			}
		case s.bottom:
			bottom = true
		default:
			if low == 0 || s.inner < low {
				low = s.inner
			}
			high = max(high, s.inner)
		}
	}
	n = most
	if inner := high - min(low, 2) + 2; high > 0 && inner >= n { // the number of the last inner layer
		n, open = inner, true
	}
	switch {
	case bottom: // one more than what is known of the layers above it
		n = max(n+1, 2)
	case open:
		n++ // the last one known is an inner layer: the bottom is missing
	}
	if n > 64 {
		return 0, fmt.Errorf("board: %d copper layers are more than 64: see the layer numbers of the copper files",
			n)
	}
	if a.job != nil && a.job.layers > n && a.job.layers <= 64 {
		return 0, fmt.Errorf("board: %s lists %d copper layers, the files hold %d%s: add the missing ones",
			a.job.path, a.job.layers, len(files), a.missingCopper())
	}
	return n, nil
}

// missingCopper names the copper files that the job file lists and the set lacks.
func (a *assembly) missingCopper() string {
	if a.job == nil {
		return ""
	}
	var names []string
	for _, f := range a.job.files {
		if strings.HasPrefix(strings.ToLower(f.function), "copper") && !a.holds(f.path) {
			names = append(names, f.path)
		}
	}
	if len(names) == 0 {
		return ""
	}
	return " (missing: " + strings.Join(names, ", ") + ")"
}

func (a *assembly) holds(file string) bool {
	return slices.ContainsFunc(a.set, func(s *source) bool {
		return strings.EqualFold(path.Base(s.path), path.Base(strings.ReplaceAll(file, `\`, "/")))
	})
}

func (a *assembly) missingLayer(layer, n int, files []*source) error {
	hint := a.missingCopper()
	for _, s := range a.set {
		if s.misnamed {
			hint = fmt.Sprintf(" (%s has the name of one, but is no Gerber file)", s.path)
		}
	}
	err := fmt.Errorf("board: copper layer L%d of %d has no file%s: add it", layer, n, hint)
	if s := a.likeliest(a.spares(files)); s != nil {
		err = fmt.Errorf("%w; or, if %s shows no copper (%s), %s", err, s.path, s.why, passOver(s))
	}
	return err
}

func (a *assembly) noCopper() error {
	var seen []string
	for _, s := range a.set[:min(len(a.set), 4)] {
		seen = append(seen, s.path)
	}
	return fmt.Errorf("board: %s: no copper layer among %d files (%s …): give the folder with the Gerber files",
		a.b.Name, len(a.set), strings.Join(seen, ", "))
}

// crossCheck compares the set with the job file's list.
func (a *assembly) crossCheck() {
	if a.job == nil {
		return
	}
	for _, f := range a.job.files {
		if f.path != "" && !a.holds(f.path) {
			a.doubt(a.job.path, "lists %s (%s), which is not there", f.path, f.function)
		}
	}
	if n := a.job.layers; n > 0 && n < len(a.layers) {
		more := ""
		if s := a.spare; s != nil {
			more = fmt.Sprintf(": if %s shows no copper (%s), %s", s.path, s.why, passOver(s))
		}
		a.doubt(a.job.path, "says %d copper layers, the files hold %d%s", n, len(a.layers), more)
	}
}
