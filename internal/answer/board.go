package answer

// Board is what was read of a board.
type Board struct {
	Header
	Name   string      `json:"name"`
	Layers []Layer     `json:"layers"`
	Size   [2]float64  `json:"size_mm"`
	Holes  Holes       `json:"holes"`
	Nets   []Net       `json:"nets"`
	Parts  []Part      `json:"parts"`
	Ties   []Tie       `json:"ties"`
	Metal  []Metal     `json:"metal"`
	Files  []File      `json:"files"`
	Doubts []Doubt     `json:"doubts"`
	At     []PlacedNet `json:"at,omitempty"`
	Copies []Copy      `json:"copies,omitempty"`
	Copy   int         `json:"copy,omitempty"`
	Cost
}

// Tie is a part of low resistance between two nets.
type Tie struct {
	Part  string    `json:"part"`
	Kind  string    `json:"kind"` // "bead", "inductor", "fuse", "link", "shunt", "jumper", "net tie", "said"
	Pins  [2]string `json:"pins"`
	Nets  [2]string `json:"nets"`
	Ohms  float64   `json:"ohms"`
	Range float64   `json:"factor"` // two times out of three the truth lies within this factor
	Joins bool      `json:"joins"`
	Why   string    `json:"why"`
}

// Metal is a part that seems to have a metal body tied to a net.
type Metal struct {
	Part string   `json:"part"`
	Net  string   `json:"net"`
	Pins []string `json:"pins"`
}

// Copy is one of several copies of the board in the data.
type Copy struct {
	Number int     `json:"number"`
	X      float64 `json:"x_mm"`
	Y      float64 `json:"y_mm"`
	Width  float64 `json:"width_mm"`
	Height float64 `json:"height_mm"`
}

// Layer is one copper layer, top first.
type Layer struct {
	Name     string  `json:"name"`
	Side     string  `json:"side"` // "top", "inner", "bottom"
	File     string  `json:"file"`
	CopperUM float64 `json:"copper_um"`
}

// Holes counts the drilled holes.
type Holes struct {
	Plated   int `json:"plated"`
	Unplated int `json:"unplated"`
}

// Net is one net of the board.
type Net struct {
	Name   string   `json:"name"`
	Pads   int      `json:"pads"`
	Layers []string `json:"layers"`
	Copper float64  `json:"copper_mm2"`
	Was    string   `json:"was,omitempty"`
}

// Part is one component.
type Part struct {
	Ref   string `json:"ref"`
	Side  string `json:"side"` // "top" or "bottom"
	Pins  int    `json:"pins"`
	Value string `json:"value"`
}

// File is one file and what it was taken for.
type File struct {
	Path string `json:"path"`
	Role string `json:"role"`
	Why  string `json:"why,omitempty"`
}

// PlacedNet says which net lies at a place; Net is nil on bare laminate.
type PlacedNet struct {
	Layer string  `json:"layer"`
	X     float64 `json:"x_mm"`
	Y     float64 `json:"y_mm"`
	Net   *string `json:"net"`
	Pin   string  `json:"pin"`
	Error string  `json:"error,omitempty"`
}

// Resistances are the predicted resistances, in the order asked.
type Resistances struct {
	Header
	Results []Resistor `json:"results"`
	Doubts  []Doubt    `json:"doubts,omitempty"`
	Cost
}

// Resistor is the copper resistance between two places of one net, or of nets
// that low-ohm parts join, theirs then included; a pair that cannot be answered
// has Error and no Ohms.
type Resistor struct {
	Net   string   `json:"net,omitempty"`
	From  *Place   `json:"from,omitempty"`
	To    *Place   `json:"to,omitempty"`
	Ohms  *float64 `json:"ohms,omitempty"`
	Low   *float64 `json:"low,omitempty"`  // the model's own numerical bracket
	High  *float64 `json:"high,omitempty"` //
	Error string   `json:"error,omitempty"`

	Through     []string     `json:"through,omitempty"`
	Sensitivity *Sensitivity `json:"sensitivity,omitempty"`
}

// Resistance is one pair's answer on its own.
type Resistance struct {
	Header
	Resistor
	Doubts []Doubt `json:"doubts,omitempty"`
	Cost
}

// Single gives the first result as an answer of its own.
func (r *Resistances) Single() *Resistance {
	a := &Resistance{Header: r.Header, Doubts: r.Doubts, Cost: r.Cost}
	if len(r.Results) > 0 {
		a.Resistor = r.Results[0]
	}
	return a
}
