package answer

// OffModels are the ways in which a trial may depart from what the program
// assumes.
var OffModels = []string{"noise", "shell", "copper", "slip", "unsteady", "unlisted"}

// Spread is the middle and the ninth decile.
type Spread struct {
	Median float64 `json:"median"` // half lie below
	P90    float64 `json:"p90"`    // nine in ten lie below
}

// Trial says how well the program would do on this board.
type Trial struct {
	Header
	Board    string         `json:"board"`                 // its name
	Nets     []string       `json:"nets"`                  // the two
	Meter    string         `json:"meter"`                 // its profile
	Kind     string         `json:"kind"`                  // of the readings, "two-wire" or "four-wire"
	Seed     uint64         `json:"seed"`                  // of the invented faults
	OffModel string         `json:"off_model,omitempty"`   // one of OffModels
	Faults   int            `json:"faults"`                // how many were invented
	Unlisted int            `json:"unlisted"`              // of them, at no listed place
	Suspects int            `json:"suspects"`              // samples searched
	Readings Spread         `json:"readings"`              // taken until the program has enough
	Error    Spread         `json:"error_mm"`              // from the answer to the truth, millimetres
	RMS      float64        `json:"error_rms_mm"`          // root of its mean square, millimetres
	Rank1    float64        `json:"rank1_fraction"`        // share of faults whose true place is named first
	Rank3    float64        `json:"rank3_fraction"`        // share of those among the first three
	Coverage Coverage       `json:"coverage"`              // of the stated radius
	Surest   Surest         `json:"surest"`                // answers given as all but certain
	Shares   []ShareRight   `json:"shares"`                // answers by how sure they were
	Wrong    ConfidentWrong `json:"confident_wrong"`       // sure answers at a wrong place
	Verdicts map[string]int `json:"verdicts"`              // count of each
	Lowest   LowestReading  `json:"lowest_reading_method"` // what the lowest-reading method does
	Bound    Bound          `json:"bound"`                 // what no method can beat
	Reach    *Reach         `json:"reach,omitempty"`       // what this meter can resolve here
	Each     []TrialFault   `json:"each,omitempty"`        // every fault, where asked for
	Doubts   []Doubt        `json:"doubts,omitempty"`      // about the board
	Picture  string         `json:"picture,omitempty"`     // the file that was drawn
	Cores    int            `json:"cores"`                 // faults searched at a time
	Cost
}

// Coverage is how often the truth lay inside the stated radius, against how
// often it was claimed to.
type Coverage struct {
	Hits    int     `json:"hits"`    // truths inside the radius
	Claimed float64 `json:"claimed"` // sum of radius_mass
	Allowed float64 `json:"allowed"` // 2.5 deviations of a fair count
	Fair    bool    `json:"fair"`    // the two differ by no more
	Enough  bool    `json:"enough"`  // faults to tell: a tenth less would be noticed
}

// Surest is how the answers given with more than 0.99 fared.
type Surest struct {
	Answers int     `json:"answers"` // how many
	Wrong   int     `json:"wrong"`   // of them, farther than 1 mm off and outside the place
	Allowed float64 `json:"allowed"` // expected wrong and three deviations
	Fair    bool    `json:"fair"`    // no more are wrong than allowed
	Enough  bool    `json:"enough"`  // answers to tell: one in twenty wrong would be noticed
}

// ShareRight is a lot of a trial's answers that were about as sure: the mean
// probability given to the best place, and the share that were the true one.
type ShareRight struct {
	Answers int     `json:"answers"` // how many
	Claimed float64 `json:"claimed"` // mean probability of the best place
	Right   float64 `json:"right"`   // share that named the true place
	Low     float64 `json:"low"`     // of Wilson's 95 % interval
	High    float64 `json:"high"`    // of the same interval
}

// ConfidentWrong counts the answers that name a wrong place with more than
// 0.9 and call it one short.
type ConfidentWrong struct {
	Count    int     `json:"count"`    // how many
	Fraction float64 `json:"fraction"` // of all faults
}

// LowestReading is how the lowest-reading method does with as many readings.
type LowestReading struct {
	Readings Spread `json:"readings"` // as many as the program took
	Error    Spread `json:"error_mm"` // millimetres
}

// Bound is what no method that names a place can beat, over readings from the
// true model; all zero off the model, where nothing is known of it.
type Bound struct {
	Error    Spread  `json:"error_mm"`       // millimetres
	RMS      float64 `json:"error_rms_mm"`   // of the root mean square, millimetres
	Readings float64 `json:"readings"`       // least mean number, by information
	Faults   int     `json:"faults"`         // that it is the mean over
	There    Spread  `json:"error_there_mm"` // the program's error on those
}

// TrialFault is one fault and what became of it.
type TrialFault struct {
	N            int      `json:"n"`                       // from 0
	Truth        Site     `json:"truth"`                   // the invented fault
	Best         *Best    `json:"best"`                    // the final answer
	ErrorMM      float64  `json:"error_mm"`                // from the answer to the truth, millimetres
	InsideRadius bool     `json:"inside_radius"`           // the truth lies inside the stated radius
	Rank         int      `json:"rank"`                    // of the true place; 0: not on the list
	Readings     int      `json:"readings"`                // how many were taken
	Verdict      string   `json:"verdict"`                 // of the last fit
	LowestMM     float64  `json:"lowest_reading_error_mm"` // error of the lowest-reading method, millimetres
	BoundMM      *float64 `json:"bound_mm"`                // of its own readings; null off the model
}
