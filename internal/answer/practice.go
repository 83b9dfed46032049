package answer

// PracticeStart is what is on the bench.
type PracticeStart struct {
	Unit     string
	Nets     []string
	Meter    string
	Sites    int // suspects before any reading
	Reach    *Reach
	Cautions []string
}

// Choice is the reading a person asks for.
type Choice struct {
	Kind    string // "two-wire" or "four-wire"
	From    string
	To      string
	Current []string
	Sense   []string
	Stop    bool
}

// PracticeStep is one reading and where the search stands after it.
type PracticeStep struct {
	N       int      `json:"n"`
	Kind    string   `json:"kind"`
	From    string   `json:"from,omitempty"`
	To      string   `json:"to,omitempty"`
	Current []string `json:"current,omitempty"`
	Sense   []string `json:"sense,omitempty"`
	Ohms    float64  `json:"ohms"`
	Best    *Best    `json:"best"`
}

// Practice compares what was found with the hidden truth.
type Practice struct {
	Header
	Seed         uint64         `json:"seed"`
	Truth        Site           `json:"truth"`
	Best         *Best          `json:"best"`
	ErrorMM      float64        `json:"error_mm"`
	InsideRadius bool           `json:"inside_radius"`
	Readings     int            `json:"readings"`
	Verdict      string         `json:"verdict"`
	Steps        []PracticeStep `json:"steps"`
	Cost
}
