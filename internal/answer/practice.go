package answer

// PracticeStart is what is on the bench.
type PracticeStart struct {
	Unit     string   // its name
	Nets     []string // the two that are shorted
	Meter    string   // its profile
	Sites    int      // suspects before any reading
	Reach    *Reach   // what this meter can resolve here
	Cautions []string // for the measurement
}

// Choice is the reading a person asks for.
type Choice struct {
	Kind    string   // "two-wire" or "four-wire"
	From    string   // two-wire: the red tip's place
	To      string   // two-wire: the black tip's place
	Current []string // four-wire: I+, I-
	Sense   []string // four-wire: V+, V-
	Stop    bool     // no further reading
}

// PracticeStep is one reading and where the search stands after it.
type PracticeStep struct {
	N       int      `json:"n"`                 // from 1
	Kind    string   `json:"kind"`              // "two-wire" or "four-wire"
	From    string   `json:"from,omitempty"`    // two-wire: the red tip's place
	To      string   `json:"to,omitempty"`      // two-wire: the black tip's place
	Current []string `json:"current,omitempty"` // four-wire: I+, I-
	Sense   []string `json:"sense,omitempty"`   // four-wire: V+, V-
	Ohms    float64  `json:"ohms"`              // what the meter read
	Best    *Best    `json:"best"`              // after this reading
}

// Practice compares what was found with the hidden truth.
type Practice struct {
	Header
	Seed         uint64         `json:"seed"`          // number of the unit
	Truth        Site           `json:"truth"`         // the hidden short
	Best         *Best          `json:"best"`          // the final answer
	ErrorMM      float64        `json:"error_mm"`      // from the answer to the truth, millimetres
	InsideRadius bool           `json:"inside_radius"` // the truth lies inside the stated radius
	Readings     int            `json:"readings"`      // how many were taken
	Verdict      string         `json:"verdict"`       // of the last fit
	Seconds      float64        `json:"seconds"`       // bench time of the readings that were advised
	Steps        []PracticeStep `json:"steps"`         // in order
	Cost
}

// PracticeRun is units one after the other, each searched by the program.
type PracticeRun struct {
	Header
	Units          []PracticeUnit `json:"units"`           // in order of their numbers
	Inside         int            `json:"inside"`          // in how many the truth lies inside the stated radius
	MedianErrorMM  float64        `json:"median_error_mm"` // of those with an answer, millimetres
	MedianReadings float64        `json:"median_readings"` // of all
	Seconds        float64        `json:"seconds"`         // bench time of all readings
	Cost
}

// PracticeUnit is one unit of a run.
type PracticeUnit struct {
	Seed         uint64   `json:"seed"`               // number of the unit
	Nets         []string `json:"nets"`               // the two that are shorted
	Kind         string   `json:"kind"`               // of the hidden short's place
	Readings     int      `json:"readings"`           // how many were taken
	Seconds      float64  `json:"seconds"`            // bench time of the readings
	ErrorMM      *float64 `json:"error_mm,omitempty"` // from the answer to the truth, millimetres
	InsideRadius bool     `json:"inside_radius"`      // the truth lies inside the stated radius
	Verdict      string   `json:"verdict"`            // of the last fit
}
