package answer

// Sensitivity is what a resistance is made of. Its parts add up to the
// resistance, and each is by how much the resistance changes for a relative
// change of its own, to first order: copper on a layer that is 1 % thinner
// adds 1 % of that layer's part.
type Sensitivity struct {
	Layers    []LayerPart `json:"layers"`
	Holes     float64     `json:"holes_ohms"`
	Plating   float64     `json:"plating_ohms"`
	Parts     []TiePart   `json:"parts"`
	PerKelvin float64     `json:"ohms_per_kelvin"`
	Spots     []SpotPart  `json:"spots,omitempty"`
}

// LayerPart is one layer's copper.
type LayerPart struct {
	Layer string  `json:"layer"`
	Ohms  float64 `json:"ohms"`
}

// TiePart is one low-ohm part.
type TiePart struct {
	Part   string  `json:"part"`
	Ohms   float64 `json:"ohms"`
	Factor float64 `json:"factor"` // two times out of three the truth lies within this factor
}

// SpotPart is what a kelvin at a spot does.
type SpotPart struct {
	Place     string  `json:"place"`
	X         float64 `json:"x_mm"`
	Y         float64 `json:"y_mm"`
	Radius    float64 `json:"radius_mm"`
	PerKelvin float64 `json:"ohms_per_kelvin"`
}
