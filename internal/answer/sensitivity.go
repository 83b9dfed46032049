package answer

// Sensitivity is what a resistance is made of. Its parts add up to the
// resistance, and each is by how much the resistance changes for a relative
// change of its own, to first order: copper on a layer that is 1 % thinner
// adds 1 % of that layer's part.
type Sensitivity struct {
	Layers []LayerPart `json:"layers"`     // copper of each layer
	Holes  float64     `json:"holes_ohms"` // plated holes, ohms
	// that part of Holes that follows the plating's thickness, ohms
	Plating   float64    `json:"plating_ohms"`
	Parts     []TiePart  `json:"parts"`           // low-ohm parts
	PerKelvin float64    `json:"ohms_per_kelvin"` // for all copper warmed alike, ohms per kelvin
	Spots     []SpotPart `json:"spots,omitempty"` // for copper warmed at places asked for
}

// LayerPart is one layer's copper.
type LayerPart struct {
	Layer string  `json:"layer"` // "L1" is the top
	Ohms  float64 `json:"ohms"`  // its part of the resistance
}

// TiePart is one low-ohm part.
type TiePart struct {
	Part   string  `json:"part"`   // its reference
	Ohms   float64 `json:"ohms"`   // its part of the resistance
	Factor float64 `json:"factor"` // two times out of three the truth lies within this factor
}

// SpotPart is what a kelvin at a spot does.
type SpotPart struct {
	Place     string  `json:"place"`           // as it was asked for
	X         float64 `json:"x_mm"`            // millimetres
	Y         float64 `json:"y_mm"`            // millimetres
	Radius    float64 `json:"radius_mm"`       // of the spot, millimetres
	PerKelvin float64 `json:"ohms_per_kelvin"` // ohms per kelvin
}
