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
	"":                    {"geom", "internal/engine", "unit"}, // the public engine
	"unit":                nil,
	"internal/unionfind":  nil, // disjoint sets
	"internal/parallel":   nil, // jobs on all cores
	"geom":                {"internal/unionfind"},
	"internal/sparse":     {"internal/parallel", "internal/unionfind"},
	"internal/atomicfile": nil,                             // files written whole or not at all
	"internal/cache":      {"internal/atomicfile", "geom"}, // what is costly to compute, kept on disk
	"internal/nearest":    nil,                             // names near a mistyped one: nets, keys, flags
	"internal/check":      nil,                             // tests only, see TestLayers

	"format/fault":               nil,                                // how the readers report what is wrong in a file
	"format/internal/scan":       nil,                                // lines, plain numbers and units of length of text formats
	"format/internal/readertest": {"format/fault", "internal/check"}, // tests only

	"format/excellon":  {"format/fault", "format/internal/scan", "geom", "unit"},
	"format/gerber":    {"format/fault", "format/internal/scan", "geom", "unit"},
	"format/ipcd356":   {"format/fault", "format/internal/scan", "geom", "unit"},
	"format/ipc2581":   {"format/fault", "format/internal/scan", "geom", "unit"},
	"format/placement": {"format/fault", "format/internal/scan", "geom", "unit"},
	"format":           {"format/excellon", "format/gerber", "format/ipcd356", "format/ipc2581", "format/placement"},

	"internal/board": {"geom", "internal/nearest", "unit"}, // the model
	"internal/boardread": {"format", "format/excellon", "format/fault", "format/gerber", "format/ipcd356", "format/ipc2581",
		"format/placement", "internal/board", "internal/parallel", "geom", "internal/cache", "internal/nearest", "unit",
		"github.com/pelletier/go-toml/v2"},
	"internal/copper":  {"internal/board", "internal/parallel", "internal/unionfind", "geom", "internal/cache", "internal/nearest", "unit"},
	"internal/mesh":    {"geom", "internal/cache", "unit"},
	"internal/artwork": {"internal/board", "internal/copper", "geom"},
	"internal/conduct": {"internal/board", "internal/copper", "geom", "internal/cache", "internal/mesh", "internal/parallel",
		"internal/sparse", "internal/unionfind", "unit"},
	"internal/suspect": {"internal/board", "internal/parallel", "internal/copper", "geom", "unit"},
	"internal/locate":  {"internal/parallel", "internal/conduct", "geom", "internal/suspect", "unit"},
	"internal/repair":  {"internal/locate", "internal/suspect", "unit"},

	// No physics: instruments and records, and drawing.
	"internal/meter":           {"internal/atomicfile", "unit", "github.com/gofrs/flock", "github.com/hashicorp/mdns", "go.bug.st/serial", "golang.org/x/sys"},
	"internal/meter/metertest": {"internal/meter"}, // tests only
	"internal/record":          {"internal/atomicfile", "internal/nearest", "unit", "github.com/gofrs/flock", "github.com/pelletier/go-toml/v2"},
	"internal/picture":         {"internal/atomicfile", "geom", "unit", "golang.org/x/image"},

	// A unit with a hidden fault stands on the physics and a meter of its own.
	"internal/practice": {"internal/board", "internal/conduct", "internal/copper", "geom", "internal/mesh", "internal/meter", "internal/sparse", "internal/suspect", "unit"},

	// The demo's files are embedded; its generator draws them.
	"demo":       nil,
	"tools/demo": {"internal/unionfind", "geom", "unit"},

	// Makes the board whose resistances another program has computed.
	"tools/reference": nil,

	// Physics and inference bound together: no words for the page, no JSON.
	"internal/engine": {"demo", "geom", "internal/board", "internal/boardread", "internal/cache", "internal/conduct", "internal/copper", "internal/locate",
		"internal/mesh", "internal/parallel", "internal/practice", "internal/record", "internal/repair", "internal/suspect", "unit"},
	// What JSON and page say, and errors with codes.
	"internal/answer": {"unit"},
	"internal/trial": {"geom", "internal/answer", "internal/board", "internal/conduct", "internal/engine", "internal/locate",
		"internal/parallel", "internal/practice", "internal/record", "internal/suspect"},
	// One use case a command.
	"internal/bench": {"geom", "internal/answer", "internal/board", "internal/conduct", "internal/copper", "internal/engine",
		"internal/locate", "internal/meter", "internal/picture", "internal/practice", "internal/record", "internal/repair",
		"internal/suspect", "internal/trial", "unit"},
	// The case at the bench.
	"internal/session": {"geom", "internal/answer", "internal/artwork", "internal/atomicfile", "internal/bench", "internal/board", "internal/boardread", "internal/copper",
		"internal/engine", "internal/locate", "internal/meter", "internal/nearest", "internal/picture", "internal/practice",
		"internal/record", "internal/repair", "internal/trial", "unit"},

	// Measures the solver against a reference library, on meshes like a board's.
	"tools/speed": {"geom", "internal/mesh", "internal/sparse"},

	// What people see reaches the physics only through bench and session.
	"internal/cli": {"golang.org/x/sys", "golang.org/x/term", "internal/answer", "internal/bench", "internal/nearest", "internal/session", "internal/web", "unit",
		"github.com/spf13/cobra", "github.com/spf13/pflag"},
	"internal/web":    {"internal/answer", "internal/bench", "internal/session", "unit"},
	"internal/report": {"internal/answer", "internal/bench", "internal/session", "unit"},
	"cmd/ohmward":     {"internal/cli"},

	// Speed: boards made for measuring, and the program that reads them.
	"tools/speed/boards":         {"internal/unionfind"},
	"tools/speed/boards/measure": {"format/gerber", "internal/boardread", "internal/copper", "tools/speed/boards"},
	"tools/speed/boards/union":   {"geom"},
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
	may := []string{"unit", "golang.org/x/image"}
	for path, want := range map[string]bool{
		"math": true, "encoding/json": true, "ohmward/unit": true, "golang.org/x/image/vector": true,
		"ohmward/unit/x": false, "ohmward/geom": false, "golang.org/x/imagery": false, "gonum.org/v1/gonum/mat": false,
	} {
		if permitted(path, may) != want {
			t.Errorf("permitted(%s) = %v", path, !want)
		}
	}
}
