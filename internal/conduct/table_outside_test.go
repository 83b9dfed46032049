package conduct

import (
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"

	_ "ohmward/internal/check" // its flag -update
)

// The accuracy table of docs/validation.md: tests add rows with Row; after
// them TestMain compares the rows with the page or, with -update, rewrites
// them. Rows of tests that did not run stay as they are.
var accuracy struct {
	sync.Mutex
	rows map[string][]accuracyRow // by section
}

type accuracyRow struct {
	name string
	want float64
	got  Bounds
}

// Row adds a line to a section of the table.
func Row(t *testing.T, section, name string, want float64, got Bounds) {
	t.Helper()
	t.Logf("%s: want %.7g, got %.7g (%+.3f %%), bracket %.7g to %.7g, bounds %.7g to %.7g",
		name, want, got.Ohms, 100*(got.Ohms/want-1), got.Low, got.High, got.Lower, got.Upper)
	accuracy.Lock()
	defer accuracy.Unlock()
	if accuracy.rows == nil {
		accuracy.rows = map[string][]accuracyRow{}
	}
	accuracy.rows[section] = append(accuracy.rows[section], accuracyRow{name, want, got})
}

func (r accuracyRow) String() string {
	return fmt.Sprintf(
		"| %s | %.6g | %.6g | %.6g | %.6g | %+.3f | %.3f |", r.name, r.want, r.got.Ohms, r.got.Low, r.got.High,
		100*(r.got.Ohms/r.want-1), 100*(r.got.High-r.got.Low)/math.Abs(r.want),
	)
}

// pageSlack is how far, relative, a value may move before the page is out of
// date.
const pageSlack = 1e-3

func TestMain(m *testing.M) {
	code := m.Run()
	page := filepath.Join("..", "..", "docs", "validation.md")
	text, err := os.ReadFile(page)
	if err == nil && code == 0 {
		var after string
		if after, err = onPage(string(text), flag.Lookup("update").Value.String() == "true"); err == nil &&
			after != string(text) {
			err = os.WriteFile(page, []byte(after), 0o644)
		}
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "docs/validation.md:", err)
		code = max(code, 1)
	}
	os.Exit(code)
}

// onPage compares the rows with the page, or puts them there.
func onPage(text string, update bool) (string, error) {
	for section, rows := range accuracy.rows {
		start, end := "<!-- rows: "+section+" -->\n", "<!-- end -->"
		before, rest, ok := strings.Cut(text, start)
		body, after, ok2 := strings.Cut(rest, end)
		if !ok || !ok2 {
			return text, fmt.Errorf("no section %q", section)
		}
		head, lines := splitTable(body)
		for _, r := range rows {
			i := lineOf(lines, r.name)
			switch {
			case update && i < 0:
				lines = append(lines, r.String())
			case update:
				lines[i] = r.String()
			case i < 0:
				return text, fmt.Errorf("no row %q in %q: run the test with -update", r.name, section)
			default:
				if got, err := strconv.ParseFloat(cell(lines[i], 2), 64); err != nil ||
					math.Abs(got-r.got.Ohms) > pageSlack*math.Abs(r.got.Ohms) {
					return text, fmt.Errorf(
						"row %q says %s, now it is %.6g: run the test with -update", r.name, cell(lines[i], 2), r.got.Ohms,
					)
				}
			}
		}
		text = before + start + head + strings.Join(lines, "\n") + "\n" + end + after
	}
	return text, nil
}

// splitTable parts a Markdown table into its two head lines and its rows.
func splitTable(body string) (head string, lines []string) {
	all := strings.SplitAfterN(body, "\n", 3)
	if len(all) < 3 {
		return body, nil
	}
	if rest := strings.TrimSpace(all[2]); rest != "" {
		lines = strings.Split(rest, "\n")
	}
	return all[0] + all[1], lines
}

func cell(line string, i int) string {
	cells := strings.Split(line, "|")
	if i+1 >= len(cells) {
		return ""
	}
	return strings.TrimSpace(cells[i+1])
}

func lineOf(lines []string, name string) int {
	for i, l := range lines {
		if cell(l, 0) == name {
			return i
		}
	}
	return -1
}
