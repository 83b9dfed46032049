package bench

// PracticeOptions set up a unit with a hidden short and a simulated meter.
type PracticeOptions struct {
	Options
	Seed  uint64
	Fault string // "" draws one; else a kind of place
	Auto  bool   // the program chooses every reading
	Meter string // profile; "" is "bench-6.5-digit"
	Talk  Talk   // nil keeps quiet; needed when not Auto
}

// Talk is how practice speaks with the person at the bench. Calls come one
// at a time, in order: Begin, then Choose (only when not Auto) and Read in
// turn.
type Talk interface {
	// Begin tells what is on the bench, before the first reading.
	Begin(PracticeStart)
	// Choose asks for the next reading, given the program's own advice,
	// best first. A Choice with Stop ends the readings.
	Choose(advice []Next) (Choice, error)
	// Read tells what the meter said and what the program now thinks.
	Read(PracticeStep)
	// Refuse tells why a choice cannot be read; Choose is asked again.
	Refuse(error)
}

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

// PracticeAnswer compares what was found with the hidden truth.
type PracticeAnswer struct {
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
