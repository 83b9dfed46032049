package placement

const (
	maxColumns = 200      // of a table
	maxRange   = 10_000   // parts in "R1-R9999"
	maxCell    = 64 << 10 // bytes of a cell, and of a line of titles
)

// limits are those that tests lower.
type limits struct {
	bytes int // of the file
	lines int // of the file
	rows  int // parts
}

// Large boards hold some ten thousand parts.
var usual = limits{bytes: 16 << 20, lines: 1_000_000, rows: 500_000}
