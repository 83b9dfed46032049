package answer

// Board is what was read of a board.
type Board struct {
	Header
	Name   string      `json:"name"`             // of its folder, zip or file
	Layers []Layer     `json:"layers"`           // copper layers, top first
	Size   [2]float64  `json:"size_mm"`          // width and height of the outline, millimetres
	Holes  Holes       `json:"holes"`            // how many
	Nets   []Net       `json:"nets"`             // in order of name
	Parts  []Part      `json:"parts"`            // in order of reference
	Ties   []Tie       `json:"ties"`             // low-ohm parts between two nets
	Metal  []Metal     `json:"metal"`            // parts that seem to have a metal body
	Files  []File      `json:"files"`            // what was read
	Doubts []Doubt     `json:"doubts"`           // to look at
	At     []PlacedNet `json:"at,omitzero"`      // nets at the places asked for
	Copies []Copy      `json:"copies,omitempty"` // of a panel; none: one board
	Copy   int         `json:"copy,omitempty"`   // the one that was read alone, from 1; 0: all or no panel
	Cost
}

// Tie is a part of low resistance between two nets.
type Tie struct {
	Part  string    `json:"part"`   // its reference
	Kind  string    `json:"kind"`   // "bead", "inductor", "fuse", "link", "shunt", "jumper", "net tie", "said"
	Pins  [2]string `json:"pins"`   // one on each net, "L3.1"
	Nets  [2]string `json:"nets"`   // the two that it joins
	Ohms  float64   `json:"ohms"`   // the median taken, ohms
	Range float64   `json:"factor"` // two times out of three the truth lies within this factor
	Joins bool      `json:"joins"`  // it is taken to join them; else open
	Why   string    `json:"why"`    // what that follows from
}

// Metal is a part that seems to have a metal body tied to a net.
type Metal struct {
	Part string   `json:"part"` // its reference
	Net  string   `json:"net"`  // the net its tabs are soldered to
	Pins []string `json:"pins"` // its tabs
}

// Copy is one of several copies of the board in the data.
type Copy struct {
	Number int     `json:"number"`    // from 1
	X      float64 `json:"x_mm"`      // left edge, millimetres
	Y      float64 `json:"y_mm"`      // lower edge, millimetres
	Width  float64 `json:"width_mm"`  // millimetres
	Height float64 `json:"height_mm"` // millimetres
}

// Layer is one copper layer, top first.
type Layer struct {
	Name     string  `json:"name"`      // "L1" is the top
	Side     string  `json:"side"`      // "top", "inner", "bottom"
	File     string  `json:"file"`      // it was read from
	CopperUM float64 `json:"copper_um"` // thickness taken, micrometres
}

// Holes counts the drilled holes.
type Holes struct {
	Plated   int `json:"plated"`   // count
	Unplated int `json:"unplated"` // count
}

// Net is one net of the board.
type Net struct {
	Name   string   `json:"name"`            // as the data has it, else invented
	Pads   int      `json:"pads"`            // how many
	Layers []string `json:"layers"`          // those with copper of the net
	Copper float64  `json:"copper_mm2"`      // area over all layers, square millimetres
	Was    string   `json:"was,omitempty"`   // its name before ohmward.toml gave it this one
	Guess  string   `json:"guess,omitempty"` // "ground" or "supply": taken for that, for no net has a name
}

// Part is one component.
type Part struct {
	Ref   string `json:"ref"`   // reference designator
	Side  string `json:"side"`  // "top" or "bottom"
	Pins  int    `json:"pins"`  // how many
	Value string `json:"value"` // as the parts list has it, or ""
}

// File is one file and what it was taken for.
type File struct {
	Path string `json:"path"`          // below the board's folder
	Role string `json:"role"`          // what it was taken for
	Why  string `json:"why,omitempty"` // what that follows from
}

// PlacedNet says which net lies at a place; Net is nil on bare laminate.
type PlacedNet struct {
	Layer string  `json:"layer"`           // "L1" is the top
	X     float64 `json:"x_mm"`            // millimetres
	Y     float64 `json:"y_mm"`            // millimetres
	Net   *string `json:"net"`             // its name
	Pin   string  `json:"pin"`             // "C7.1", or "" off any pin
	Rim   bool    `json:"rim,omitempty"`   // it is in a plated hole, whose rim is told
	Error string  `json:"error,omitempty"` // why the place cannot be answered
}

// Resistances are the predicted resistances, in the order asked.
type Resistances struct {
	Header
	Results []Resistor `json:"results"`          // in the order asked
	Doubts  []Doubt    `json:"doubts,omitempty"` // about the board
	Cost
}

// Resistor is the copper resistance between two places of one net, or of nets
// that low-ohm parts join, theirs then included; a pair that cannot be answered
// has Error and no Ohms.
type Resistor struct {
	Net   string   `json:"net,omitempty"`   // of both places, or of the first
	From  *Place   `json:"from,omitempty"`  // first place
	To    *Place   `json:"to,omitempty"`    // second place
	Ohms  *float64 `json:"ohms,omitempty"`  // predicted resistance, ohms
	Low   *float64 `json:"low,omitempty"`   // the model's own numerical bracket
	High  *float64 `json:"high,omitempty"`  // upper numerical bound, ohms
	Error string   `json:"error,omitempty"` // why there is no answer

	Through     []string     `json:"through,omitempty"`     // low-ohm parts that the current takes
	Sensitivity *Sensitivity `json:"sensitivity,omitempty"` // what the resistance is made of
}

// Resistance is one pair's answer on its own.
type Resistance struct {
	Header
	Resistor
	Doubts []Doubt `json:"doubts,omitempty"` // about the board
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
