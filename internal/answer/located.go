package answer

// ReadingFit is one reading against what the best place predicts, with what
// its uncertainty is made of.
type ReadingFit struct {
	Reading   int         `json:"reading"`        // from 0, in the case's order
	Ohms      float64     `json:"ohms"`           // as measured
	Predicted *float64    `json:"predicted_ohms"` // nil where it was left out
	U         float64     `json:"u_ohms"`         // standard, all components
	Budget    []Component `json:"budget"`         // what U is made of
}

// Component is one line of an uncertainty budget.
type Component struct {
	Name string  `json:"name"` // of the source of uncertainty
	Ohms float64 `json:"ohms"` // standard uncertainty, ohms
}

// Site is one place where the two nets could touch: (X, Y) on the first,
// (X2, Y2) on the second.
type Site struct {
	Rank        int        `json:"rank"`           // 1 is the most likely
	Probability float64    `json:"probability"`    // 0 to 1
	Kind        string     `json:"kind"`           // "gap", "part", "layers", "metal"
	Layer       string     `json:"layer"`          // "L1" is the top; of the first net's copper
	X           float64    `json:"x_mm"`           // millimetres
	Y           float64    `json:"y_mm"`           // millimetres
	X2          float64    `json:"x2_mm"`          // millimetres
	Y2          float64    `json:"y2_mm"`          // millimetres
	Gap         float64    `json:"gap_mm"`         // between the two nets, millimetres
	Extent      float64    `json:"extent_mm"`      // how far the place stretches, millimetres
	Near        []string   `json:"near"`           // pins, nearest first
	Hidden      bool       `json:"hidden"`         // under a part's body or shell
	Covered     bool       `json:"covered"`        // under solder mask
	Ohms        Range      `json:"ohms"`           // of the short, if it is here
	Part        string     `json:"part,omitempty"` // reference, of kinds "part" and "metal"
	Nets        *[2]string `json:"nets,omitempty"` // only when all net pairs were asked for
}

// Suspects lists where nets could touch, before any reading.
type Suspects struct {
	Header
	Nets      []string `json:"nets"`             // the two asked about; none: all pairs
	Sites     []Site   `json:"sites"`            // the likeliest first
	Capped    bool     `json:"capped,omitempty"` // there are more, less likely than these
	Elsewhere float64  `json:"elsewhere"`        // probability of a place not listed
	// what a good unit reads across them, in words, as far as its resistors tell
	Good     string   `json:"good,omitempty"`
	Cautions []string `json:"cautions,omitempty"` // for the measurement
	Doubts   []Doubt  `json:"doubts,omitempty"`   // about the board
	Cost
}

// Location says where the short is.
type Location struct {
	Header
	Board     string       `json:"board"`                // its name
	Nets      []string     `json:"nets"`                 // the two of the case
	Readings  int          `json:"readings"`             // how many count
	Sites     []Site       `json:"sites"`                // the likeliest first; of a reading the first 200
	Places    int          `json:"places"`               // how many there are, those beyond the list too
	Elsewhere float64      `json:"elsewhere"`            // probability of a place not listed
	Best      *Best        `json:"best"`                 // nil before any reading, and with nothing to point at
	Fit       Fit          `json:"fit"`                  // how well one short explains the readings
	Next      []Next       `json:"next"`                 // readings worth taking, best first
	Enough    bool         `json:"enough"`               // another reading is not worth its time
	EnoughWhy string       `json:"enough_why,omitempty"` // in words
	Repair    []Repair     `json:"repair"`               // what to try, in order
	Reach     *Reach       `json:"reach,omitempty"`      // what this meter can resolve here
	Each      []ReadingFit `json:"each"`                 // every reading against the best place
	Tests     []Test       `json:"tests"`                // what else would tell, best first
	Moves     []Move       `json:"moves"`                // readings and tests in one order
	Cautions  []string     `json:"cautions,omitempty"`   // for the measurement
	Doubts    []Doubt      `json:"doubts,omitempty"`     // about the board and the readings
	Picture   string       `json:"picture,omitempty"`    // the file that was drawn
	Saved     string       `json:"saved,omitempty"`      // the case file that was written
	Cost
}

// Best is the best site, with the radius about its midpoint that holds 90 %
// of the probability, and the mass the radius really holds.
type Best struct {
	Site
	RadiusMM   float64 `json:"radius_mm"`   // millimetres
	RadiusMass float64 `json:"radius_mass"` // probability inside the radius
}

// leastGuess is the probability below which no place is worth naming once the
// readings contradict one short.
const leastGuess = 0.05

// Points tells whether the best place is worth naming: something was read, it
// is of a short, and where the readings contradict each other the place still
// has some chance.
func (l *Location) Points() bool {
	switch v := l.Fit.Verdict; {
	case l.Best == nil || v == NoReading || v == NotAShort:
		return false
	case v == OneShort:
		return true
	}
	return l.Best.Probability >= leastGuess
}

// The verdicts of a fit.
const (
	NoReading    = "no reading yet"
	OneShort     = "one short"
	MoreThanOne  = "more than one"
	Disagree     = "readings disagree"
	Intermittent = "intermittent"
	NotAShort    = "not a short"
)

// Fit says how well one short explains the readings.
type Fit struct {
	Verdict string  `json:"verdict"` // NoReading and so on
	Chi2    float64 `json:"chi2"`    // sum of squared deviations
	DoF     int     `json:"dof"`     // degrees of freedom
	P       float64 `json:"p"`       // chance of a worse fit if one short is the truth
	// index from 0 in the case's readings; nil when none stands out
	WorstReading *int   `json:"worst_reading"`
	Note         string `json:"note,omitempty"`      // what follows from the verdict
	Changed      string `json:"changed,omitempty"`   // why the answer's place changed with the last reading
	Neighbour    string `json:"neighbour,omitempty"` // where the worst reading would fit
}

// Next is one reading worth taking. Places are written as a case file takes
// them.
type Next struct {
	Kind    string   `json:"kind"`              // "two-wire" or "four-wire"
	From    string   `json:"from,omitempty"`    // of a two-wire reading
	To      string   `json:"to,omitempty"`      // of a two-wire reading
	Current []string `json:"current,omitempty"` // I+, I-
	Sense   []string `json:"sense,omitempty"`   // V+, V-
	At      []Place  `json:"at,omitempty"`      // from and to, or I+, I-, V+, V-
	Bits    float64  `json:"bits"`              // expected information about the site
	Seconds float64  `json:"seconds"`           // bench time
	Why     string   `json:"why"`               // in words
}

// Repair is one thing to try, in the order advised.
type Repair struct {
	// "clean and look", "wick", "reflow", "remove", "split" or "scrape"
	What        string  `json:"what"`
	Part        string  `json:"part,omitempty"` // its reference
	Site        int     `json:"site,omitempty"` // rank of the site it covers
	Probability float64 `json:"probability"`    // that it works: clears the short, or of a look also shows it
	Minutes     float64 `json:"minutes"`        // bench time
	DamageRisk  float64 `json:"damage_risk"`    // chance of harm, 0 to 1
	Why         string  `json:"why"`            // in words
	Care        string  `json:"care,omitempty"` // what it needs care for, in words; in Why too
}

// Reach says how close this meter can come on this copper.
type Reach struct {
	TwoWireMM  float64 `json:"two_wire_mm"`            // millimetres along the copper
	FourWireMM float64 `json:"four_wire_mm,omitempty"` // millimetres along the copper
	Note       string  `json:"note,omitempty"`         // in words
}

// Test is something to do that is no reading and says where the short is.
type Test struct {
	Kind    string  `json:"kind"`            // "split", "look" or "warm"
	Part    string  `json:"part,omitempty"`  // to lift
	Place   string  `json:"place,omitempty"` // as a case file takes it
	Bits    float64 `json:"bits"`            // expected information about the site
	Seconds float64 `json:"seconds"`         // bench time
	Why     string  `json:"why"`             // in words
	// of a split: that the short lies beyond the part
	Chance float64 `json:"chance,omitempty"`
}
