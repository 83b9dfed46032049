package answer

// ReadingFit is one reading against what the best place predicts, with what
// its uncertainty is made of.
type ReadingFit struct {
	Reading   int         `json:"reading"` // from 0, in the case's order
	Ohms      float64     `json:"ohms"`
	Predicted *float64    `json:"predicted_ohms"` // nil where it was left out
	U         float64     `json:"u_ohms"`         // standard, all components
	Budget    []Component `json:"budget"`
}

// Component is one line of an uncertainty budget.
type Component struct {
	Name string  `json:"name"`
	Ohms float64 `json:"ohms"`
}

// Site is one place where the two nets could touch: (X, Y) on the first,
// (X2, Y2) on the second.
type Site struct {
	Rank        int        `json:"rank"` // 1 is the most likely
	Probability float64    `json:"probability"`
	Kind        string     `json:"kind"` // "gap", "part", "layers", "metal"
	Layer       string     `json:"layer"`
	X           float64    `json:"x_mm"`
	Y           float64    `json:"y_mm"`
	X2          float64    `json:"x2_mm"`
	Y2          float64    `json:"y2_mm"`
	Gap         float64    `json:"gap_mm"`
	Extent      float64    `json:"extent_mm"`
	Near        []string   `json:"near"`    // pins, nearest first
	Hidden      bool       `json:"hidden"`  // under a part's body or shell
	Covered     bool       `json:"covered"` // under solder mask
	Ohms        Range      `json:"ohms"`    // of the short, if it is here
	Part        string     `json:"part,omitempty"`
	Nets        *[2]string `json:"nets,omitempty"` // only when all net pairs were asked for
}

// Suspects lists where nets could touch, before any reading.
type Suspects struct {
	Header
	Nets      []string `json:"nets"`
	Sites     []Site   `json:"sites"`
	Elsewhere float64  `json:"elsewhere"`      // probability of a place not listed
	Good      string   `json:"good,omitempty"` // what a good unit reads across them, in words, as far as its resistors tell
	Cautions  []string `json:"cautions,omitempty"`
	Doubts    []Doubt  `json:"doubts,omitempty"`
	Cost
}

// Location says where the short is.
type Location struct {
	Header
	Board     string       `json:"board"`
	Nets      []string     `json:"nets"`
	Readings  int          `json:"readings"`
	Sites     []Site       `json:"sites"`
	Elsewhere float64      `json:"elsewhere"`
	Best      *Best        `json:"best"` // nil when there is nothing to point at
	Fit       Fit          `json:"fit"`
	Next      []Next       `json:"next"`
	Enough    bool         `json:"enough"` // another reading is not worth its time
	EnoughWhy string       `json:"enough_why,omitempty"`
	Repair    []Repair     `json:"repair"`
	Reach     *Reach       `json:"reach,omitempty"`
	Each      []ReadingFit `json:"each"`  // every reading against the best place
	Tests     []Test       `json:"tests"` // what else would tell, best first
	Moves     []Move       `json:"moves"` // readings and tests in one order
	Cautions  []string     `json:"cautions,omitempty"`
	Doubts    []Doubt      `json:"doubts,omitempty"`
	Picture   string       `json:"picture,omitempty"` // the file that was drawn
	Cost
}

// Best is the best site, with the radius about its midpoint that holds 90 %
// of the probability, and the mass the radius really holds.
type Best struct {
	Site
	RadiusMM   float64 `json:"radius_mm"`
	RadiusMass float64 `json:"radius_mass"`
}

// The verdicts of a fit.
const (
	OneShort     = "one short"
	MoreThanOne  = "more than one"
	Disagree     = "readings disagree"
	Intermittent = "intermittent"
	NotAShort    = "not a short"
)

// Fit says how well one short explains the readings.
type Fit struct {
	Verdict      string  `json:"verdict"`
	Chi2         float64 `json:"chi2"`
	DoF          int     `json:"dof"`
	P            float64 `json:"p"`
	WorstReading *int    `json:"worst_reading"` // index from 0 in the case's readings; nil when none stands out
	Note         string  `json:"note,omitempty"`
	Changed      string  `json:"changed,omitempty"`   // why the answer's place changed with the last reading
	Neighbour    string  `json:"neighbour,omitempty"` // where the worst reading would fit
}

// Next is one reading worth taking. Places are written as a case file takes
// them.
type Next struct {
	Kind    string   `json:"kind"` // "two-wire" or "four-wire"
	From    string   `json:"from,omitempty"`
	To      string   `json:"to,omitempty"`
	Current []string `json:"current,omitempty"` // I+, I-
	Sense   []string `json:"sense,omitempty"`   // V+, V-
	At      []Place  `json:"at,omitempty"`      // from and to, or I+, I-, V+, V-
	Bits    float64  `json:"bits"`              // expected information about the site
	Seconds float64  `json:"seconds"`
	Why     string   `json:"why"`
}

// Repair is one thing to try, in the order advised.
type Repair struct {
	What        string  `json:"what"`
	Part        string  `json:"part,omitempty"`
	Site        int     `json:"site,omitempty"` // rank of the site it covers
	Probability float64 `json:"probability"`
	Minutes     float64 `json:"minutes"`
	DamageRisk  float64 `json:"damage_risk"`
	Why         string  `json:"why"`
}

// Reach says how close this meter can come on this copper.
type Reach struct {
	TwoWireMM  float64 `json:"two_wire_mm"`
	FourWireMM float64 `json:"four_wire_mm,omitempty"`
	Note       string  `json:"note,omitempty"`
}

// Test is something to do that is no reading and says where the short is.
type Test struct {
	Kind    string  `json:"kind"` // "split", "look" or "warm"
	Part    string  `json:"part,omitempty"`
	Place   string  `json:"place,omitempty"` // as a case file takes it
	Bits    float64 `json:"bits"`            // expected information about the site
	Seconds float64 `json:"seconds"`
	Why     string  `json:"why"`
}
