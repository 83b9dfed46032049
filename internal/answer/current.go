package answer

// Current is where an injected current flows, and how much is safe.
type Current struct {
	Header
	From    *Place   `json:"from,omitempty"`    // where it goes in
	To      *Place   `json:"to,omitempty"`      // where it comes out
	Nets    []string `json:"nets"`              // the net; both where the current crosses the short
	Amps    float64  `json:"amps"`              // the current asked for, amperes
	Ohms    float64  `json:"ohms"`              // of the copper on its way, without the short's own, ohms
	Low     float64  `json:"low"`               // lower numerical bound, ohms
	High    float64  `json:"high"`              // upper numerical bound, ohms
	Drop    float64  `json:"drop_volts"`        // volts between the two places
	Watts   float64  `json:"watts"`             // dissipated in the copper
	Shares  []Share  `json:"shares"`            // of the drop, by net and layer
	Hottest Hottest  `json:"hottest"`           // the weakest track or hole
	Safe    Safe     `json:"safe"`              // the test current advised
	Heat    Heat     `json:"heat"`              // whether the short shows by its heat
	Caution string   `json:"caution"`           // in words
	Doubts  []Doubt  `json:"doubts,omitempty"`  // about the board
	Picture string   `json:"picture,omitempty"` // the file that was drawn
	Cost
}

// Share is what one layer, or all plated holes, take of the drop.
type Share struct {
	Net      string  `json:"net"`        // its name
	Where    string  `json:"where"`      // "L1", or "holes"
	Ohms     float64 `json:"ohms"`       // part of the resistance, ohms
	Drop     float64 `json:"drop_volts"` // volts
	Watts    float64 `json:"watts"`      // dissipated
	Fraction float64 `json:"fraction"`   // of the resistance, 0 to 1
}

// Hottest is the track or hole that warms most by the curve fit.
type Hottest struct {
	Kind      string  `json:"kind"`             // "track" or "hole"
	Net       string  `json:"net"`              // its name
	Layer     string  `json:"layer"`            // of a hole the upper of the two that it joins there
	X         float64 `json:"x_mm"`             // millimetres
	Y         float64 `json:"y_mm"`             // millimetres
	Amps      float64 `json:"amps"`             // through it, amperes
	Width     float64 `json:"width_mm"`         // of the track, or the hole's diameter, millimetres
	Thickness float64 `json:"thickness_um"`     // of the copper or the plating, micrometres
	Density   float64 `json:"density_a_per_mm"` // amperes per millimetre of width
	Limit     float64 `json:"limit_amps"`       // what this width bears at Safe.Rise, amperes
	Rise      float64 `json:"rise_kelvin"`      // at the current asked about, kelvin
}

// Safe is the test current advised.
type Safe struct {
	Rise         float64   `json:"rise_kelvin"`          // in the weakest place at MostAmps, kelvin
	MostAmps     float64   `json:"most_amps"`            // amperes
	Steps        []float64 `json:"steps_amps"`           // to raise the current by, amperes
	LimitVolts   float64   `json:"limit_volts"`          // voltage limit of the supply, volts
	SchottkyVolt float64   `json:"limit_schottky_volts"` // the same where a Schottky diode stands across, volts
	Within       bool      `json:"within"`               // the current asked for is no more
	Note         string    `json:"note"`                 // in words
}

// Heat says whether the short would show by its heat.
type Heat struct {
	VisibleWatts float64 `json:"visible_watts"` // from which heat in one place shows
	ShortOhms    float64 `json:"short_ohms"`    // the short's resistance, given or assumed, ohms
	ShortWatts   float64 `json:"short_watts"`   // dissipated in the short
	OhmsNeeded   float64 `json:"ohms_needed"`   // short that shows at the current asked for, ohms
	Shows        bool    `json:"shows"`         // the short dissipates enough

	OhmsNeededSafe float64 `json:"ohms_needed_safe"` // short that shows at the safe current, ohms
	Note           string  `json:"note"`             // in words
}
