package answer

// Current is where an injected current flows, and how much is safe.
type Current struct {
	Header
	From    *Place   `json:"from,omitempty"`
	To      *Place   `json:"to,omitempty"`
	Nets    []string `json:"nets"`
	Amps    float64  `json:"amps"`
	Ohms    float64  `json:"ohms"`
	Low     float64  `json:"low"`
	High    float64  `json:"high"`
	Drop    float64  `json:"drop_volts"`
	Watts   float64  `json:"watts"`
	Shares  []Share  `json:"shares"`
	Hottest Hottest  `json:"hottest"`
	Safe    Safe     `json:"safe"`
	Heat    Heat     `json:"heat"`
	Caution string   `json:"caution"`
	Doubts  []Doubt  `json:"doubts,omitempty"`
	Picture string   `json:"picture,omitempty"`
	Cost
}

// Share is what one layer, or all plated holes, take of the drop.
type Share struct {
	Net      string  `json:"net"`
	Where    string  `json:"where"` // "L1", or "holes"
	Ohms     float64 `json:"ohms"`
	Drop     float64 `json:"drop_volts"`
	Watts    float64 `json:"watts"`
	Fraction float64 `json:"fraction"`
}

// Hottest is the track or hole that warms most by the curve fit.
type Hottest struct {
	Kind      string  `json:"kind"` // "track" or "hole"
	Net       string  `json:"net"`
	Layer     string  `json:"layer"`
	X         float64 `json:"x_mm"`
	Y         float64 `json:"y_mm"`
	Amps      float64 `json:"amps"`
	Width     float64 `json:"width_mm"`
	Thickness float64 `json:"thickness_um"`
	Density   float64 `json:"density_a_per_mm"`
	Limit     float64 `json:"limit_amps"`
	Rise      float64 `json:"rise_kelvin"`
}

// Safe is the test current advised.
type Safe struct {
	Rise         float64   `json:"rise_kelvin"`
	MostAmps     float64   `json:"most_amps"`
	Steps        []float64 `json:"steps_amps"`
	LimitVolts   float64   `json:"limit_volts"`
	SchottkyVolt float64   `json:"limit_schottky_volts"`
	Within       bool      `json:"within"`
	Note         string    `json:"note"`
}

// Heat says whether the short would show by its heat.
type Heat struct {
	VisibleWatts float64 `json:"visible_watts"`
	ShortOhms    float64 `json:"short_ohms"`
	ShortWatts   float64 `json:"short_watts"`
	OhmsNeeded   float64 `json:"ohms_needed"`
	Shows        bool    `json:"shows"`

	OhmsNeededSafe float64 `json:"ohms_needed_safe"`
	Note           string  `json:"note"`
}
