package excellon

const (
	maxReport     = 1 << 20  // bytes of a report of tools; what follows is not read
	maxLine       = 64 << 10 // bytes of one line
	maxTool       = 99_999   // the highest number of a tool
	maxAttributes = 1000     // of the file
)

// limits are those that tests lower.
type limits struct {
	bytes int // of the file
	hits  int // repeats and chords counted
}

// The largest drill files of real boards hold some ten thousand hits.
var usual = limits{bytes: 64 << 20, hits: 2_000_000}
