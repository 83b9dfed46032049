package ohmward_test

import (
	"encoding/json"
	"errors"
	"io"
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// allowed says what each package may import beside the standard library. It
// follows the data: what stands further down may import what stands above.
// A new package needs a line here and a reason.
var allowed = map[string][]string{
	"":                 nil,
	"internal/unit":    nil,
	"internal/geom":    nil,
	"internal/sparse":  nil,
	"internal/keep":    {"internal/geom"}, // what is costly to compute, kept on disk
	"internal/cores":   nil,               // jobs on all cores
	"internal/nearest": nil,               // names near a mistyped one: nets, keys, flags
	"internal/check":   nil,               // tests only, see TestLayers

	"format/excellon":  {"internal/geom", "internal/unit"},
	"format/gerber":    {"internal/geom", "internal/unit"},
	"format/ipcd356":   {"internal/geom", "internal/unit"},
	"format/ipc2581":   {"internal/geom", "internal/unit"},
	"format/placement": {"internal/geom", "internal/unit"},
	"format":           {"format/excellon", "format/gerber", "format/ipcd356", "format/ipc2581", "format/placement"},

	"internal/board":   {"format", "format/excellon", "format/gerber", "format/ipcd356", "format/ipc2581", "format/placement", "internal/cores", "internal/geom", "internal/keep", "internal/nearest", "internal/unit", "github.com/pelletier/go-toml/v2"},
	"internal/copper":  {"internal/board", "internal/cores", "internal/geom", "internal/keep", "internal/nearest", "internal/unit"},
	"internal/mesh":    {"internal/geom", "internal/keep", "internal/unit"},
	"internal/artwork": {"internal/board", "internal/copper", "internal/geom"},
	"internal/conduct": {"internal/board", "internal/copper", "internal/geom", "internal/keep", "internal/mesh", "internal/sparse", "internal/unit"},
	"internal/suspect": {"internal/board", "internal/copper", "internal/geom", "internal/unit"},
	"internal/locate":  {"internal/conduct", "internal/geom", "internal/suspect", "internal/unit"},
	"internal/repair":  {"internal/locate", "internal/suspect", "internal/unit"},

	// No physics: instruments and records, and drawing.
	"internal/meter":   {"internal/unit"},
	"internal/record":  {"internal/nearest", "internal/unit", "github.com/pelletier/go-toml/v2"},
	"internal/picture": {"internal/geom", "internal/unit", "golang.org/x/image"},

	// A unit with a hidden fault stands on the physics and a meter of its own.
	"internal/practice": {"internal/board", "internal/conduct", "internal/copper", "internal/geom", "internal/mesh", "internal/meter", "internal/sparse", "internal/suspect", "internal/unit"},

	// The demo's files are embedded; its generator draws them.
	"demo":          nil,
	"demo/generate": {"internal/geom", "internal/unit"},

	"internal/bench": {"demo", "internal/artwork", "internal/board", "internal/conduct", "internal/copper", "internal/geom", "internal/keep", "internal/locate", "internal/mesh", "internal/meter",
		"internal/nearest", "internal/picture", "internal/practice", "internal/record", "internal/repair", "internal/suspect", "internal/unit"},

	// Measures the solver against a reference library, on meshes like a board's.
	"speed": {"internal/geom", "internal/mesh", "internal/sparse"},

	// What people see reaches the physics only through bench.
	"internal/cli":    {"internal/bench", "internal/nearest", "internal/unit", "internal/web"}, // the bench command starts the page
	"internal/web":    {"internal/bench", "internal/unit"},
	"internal/report": {"internal/bench", "internal/unit"},
	"cmd/ohmward":     {"internal/cli"},

	// Speed: boards made for measuring, and the program that reads them.
	"speed/boards":         nil,
	"speed/boards/measure": {"format/gerber", "internal/board", "internal/copper", "speed/boards"},
	"speed/boards/union":   {"internal/geom"},
}

const module = "ohmward"

// TestLayers compares the imports of every package with the table.
func TestLayers(t *testing.T) {
	for _, p := range listed(t) {
		name := strings.TrimPrefix(strings.TrimPrefix(p.ImportPath, module), "/")
		may, known := allowed[name]
		if !known {
			t.Errorf("package %s is not in the table of allowed imports", p.ImportPath)
			continue
		}
		for _, i := range p.Imports {
			if !permitted(i, may) {
				t.Errorf("%s may not import %s", p.ImportPath, i)
			}
		}
	}
}

// permitted tells whether an import is of the standard library (whose first
// element has no dot) or in the list, where a module stands for its packages.
func permitted(path string, may []string) bool {
	if rest, own := strings.CutPrefix(path, module+"/"); own {
		return slices.Contains(may, rest)
	}
	first, _, _ := strings.Cut(path, "/")
	if !strings.Contains(first, ".") {
		return true
	}
	return slices.ContainsFunc(may, func(m string) bool { return path == m || strings.HasPrefix(path, m+"/") })
}

type listedPackage struct {
	ImportPath string
	Imports    []string
}

func listed(t *testing.T) (all []listedPackage) {
	t.Helper()
	out, err := exec.Command("go", "list", "-e", "-json=ImportPath,Imports", "./...").Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	d := json.NewDecoder(strings.NewReader(string(out)))
	for {
		var p listedPackage
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		all = append(all, p)
	}
	if len(all) < 10 {
		t.Fatalf("go list gave %d packages only", len(all))
	}
	return all
}

// TestTableOrder: the table itself runs one way.
func TestTableOrder(t *testing.T) {
	var visit func(name string, path []string)
	visit = func(name string, path []string) {
		if slices.Contains(path, name) {
			t.Fatalf("the table runs in a circle: %s", strings.Join(append(path, name), " -> "))
		}
		for _, next := range allowed[name] {
			visit(next, append(path[:len(path):len(path)], name))
		}
	}
	for name := range allowed {
		visit(name, nil)
	}
}

func TestPermitted(t *testing.T) {
	may := []string{"internal/unit", "golang.org/x/image"}
	for path, want := range map[string]bool{
		"math": true, "encoding/json": true, "ohmward/internal/unit": true, "golang.org/x/image/vector": true,
		"ohmward/internal/unit/x": false, "ohmward/internal/geom": false, "golang.org/x/imagery": false, "gonum.org/v1/gonum/mat": false,
	} {
		if permitted(path, may) != want {
			t.Errorf("permitted(%s) = %v", path, !want)
		}
	}
}
