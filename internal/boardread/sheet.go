package boardread

import (
	"bytes"
	"path"
	"slices"
	"strings"

	"ohmward/internal/board"
)

// sheetRefused is why a spreadsheet is ignored.
const sheetRefused = "a spreadsheet, which is not read: save its sheet as .csv beside it"

var sheetEndings = []string{".xlsx", ".xlsm", ".xls", ".ods"}

// isSpreadsheet tells a spreadsheet by what is in it, or by its ending where
// it is an archive or binary.
func isSpreadsheet(name string, top []byte) bool {
	zip := isZip(top)
	old := bytes.HasPrefix(top, []byte("\xd0\xcf\x11\xe0"))
	named := slices.Contains(sheetEndings, strings.ToLower(path.Ext(name)))
	return (zip || old) && named || zip && bytes.Contains(top, []byte("xl/workbook.xml"))
}

// missingValues doubts that parts have no values where a spreadsheet seems to
// hold them.
func (a *assembly) missingValues() {
	if len(a.b.Parts) == 0 || slices.ContainsFunc(a.b.Parts, func(p board.Part) bool { return p.Value != "" }) {
		return
	}
	for _, s := range a.set {
		if s.sheet {
			a.doubt(s.path, "no part's value is known, and this is %s. Without values beads and zero-ohm links are "+
				"told by their references alone", sheetRefused)
			return
		}
	}
}
