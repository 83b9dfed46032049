package answer

// OffModels are the ways in which a trial may depart from what the program
// assumes.
var OffModels = []string{"noise", "shell", "copper", "slip", "unsteady", "unlisted"}

// Spread is the middle and the ninth decile.
type Spread struct {
	Median float64 `json:"median"`
	P90    float64 `json:"p90"`
}

// Trial says how well the program would do on this board.
type Trial struct {
	Header
	Board    string         `json:"board"`
	Nets     []string       `json:"nets"`
	Meter    string         `json:"meter"`
	Kind     string         `json:"kind"`
	Seed     uint64         `json:"seed"`
	OffModel string         `json:"off_model,omitempty"`
	Faults   int            `json:"faults"`
	Unlisted int            `json:"unlisted"` // of them, at no listed place
	Suspects int            `json:"suspects"` // samples searched
	Readings Spread         `json:"readings"`
	Error    Spread         `json:"error_mm"`
	Rank1    float64        `json:"rank1_fraction"`
	Rank3    float64        `json:"rank3_fraction"`
	Coverage Coverage       `json:"coverage"`
	Surest   Surest         `json:"surest"`
	Shares   []ShareRight   `json:"shares"`
	Wrong    ConfidentWrong `json:"confident_wrong"`
	Verdicts map[string]int `json:"verdicts"`
	Lowest   LowestReading  `json:"lowest_reading_method"`
	Bound    Bound          `json:"bound"`
	Reach    *Reach         `json:"reach,omitempty"`
	Each     []TrialFault   `json:"each,omitempty"`
	Doubts   []Doubt        `json:"doubts,omitempty"`
	Picture  string         `json:"picture,omitempty"` // the file that was drawn
	Cores    int            `json:"cores"`
	Cost
}

// Coverage is how often the truth lay inside the stated radius, against how
// often it was claimed to.
type Coverage struct {
	Hits    int     `json:"hits"`
	Claimed float64 `json:"claimed"` // sum of radius_mass
	Allowed float64 `json:"allowed"` // 2.5 deviations of a fair count
	Fair    bool    `json:"fair"`    // the two differ by no more
}

// Surest is how the answers given with more than 0.99 fared.
type Surest struct {
	Answers int     `json:"answers"`
	Wrong   int     `json:"wrong"`
	Allowed float64 `json:"allowed"` // expected wrong and three deviations
	Fair    bool    `json:"fair"`
}

// ShareRight is a lot of a trial's answers that were about as sure: the mean
// probability given to the best place, and the share that were the true one.
type ShareRight struct {
	Answers int     `json:"answers"`
	Claimed float64 `json:"claimed"`
	Right   float64 `json:"right"`
	Low     float64 `json:"low"` // of Wilson's 95 % interval
	High    float64 `json:"high"`
}

// ConfidentWrong counts the answers that name a wrong place with more than
// 0.9 and call it one short.
type ConfidentWrong struct {
	Count    int     `json:"count"`
	Fraction float64 `json:"fraction"`
}

// LowestReading is how the lowest-reading method does with as many readings.
type LowestReading struct {
	Readings Spread `json:"readings"`
	Error    Spread `json:"error_mm"`
}

// Bound is what no method can beat.
type Bound struct {
	Error    Spread  `json:"error_mm"`
	Readings float64 `json:"readings"`       // least mean number, by information
	Faults   int     `json:"faults"`         // that lie on a row of suspects
	There    Spread  `json:"error_there_mm"` // the program's error on those
}

// TrialFault is one fault and what became of it.
type TrialFault struct {
	N            int      `json:"n"`
	Truth        Site     `json:"truth"`
	Best         *Best    `json:"best"`
	ErrorMM      float64  `json:"error_mm"`
	InsideRadius bool     `json:"inside_radius"`
	Rank         int      `json:"rank"` // of the true place; 0: not on the list
	Readings     int      `json:"readings"`
	Verdict      string   `json:"verdict"`
	LowestMM     float64  `json:"lowest_reading_error_mm"`
	BoundMM      *float64 `json:"bound_mm"` // null: no neighbour along the suspects
}
