package answer

import (
	"time"
)

// PronePair is two nets that could well touch, and where the likeliest place
// is.
type PronePair struct {
	Nets   [2]string `json:"nets"`           // by name
	Chance float64   `json:"chance"`         // share of all places of the design
	Places int       `json:"places"`         // how many the pair has
	Where  string    `json:"where"`          // the likeliest place, in words
	Layer  string    `json:"layer"`          // of that place
	X      float64   `json:"x_mm"`           // millimetres
	Y      float64   `json:"y_mm"`           // millimetres
	Touch  [2]string `json:"touch"`          // a place on each that a tip reaches, in words; "" for none
	Good   string    `json:"good,omitempty"` // what a good unit read across them, in words; "": not known
}

// Found is a net or a pin that a search found.
type Found struct {
	Net  string `json:"net"`           // its name
	Pin  string `json:"pin,omitempty"` // "" for the net itself
	Pads int    `json:"pads"`          // of the net, how many
}

// Spot is what lies at a place that was pointed at.
type Spot struct {
	Net   string  `json:"net"`   // its name
	Place string  `json:"place"` // as a case file takes it
	Words string  `json:"words"` // where, for a person
	Layer string  `json:"layer"` // "L1" is the top
	X     float64 // millimetres
	Y     float64 // millimetres
}

// Reply is an answer in words and figures.
type Reply struct {
	Words []string `json:"words"` // sentences
	Facts []Fact   `json:"facts"` // figures
}

// CaseLine is one case in the list of recent ones.
type CaseLine struct {
	ID       string    `json:"id"`       // names the case in addresses
	Title    string    `json:"title"`    // for a person
	Nets     []string  `json:"nets"`     // the two; none before they are chosen
	Readings int       `json:"readings"` // count
	State    string    `json:"state"`    // in words
	Practice bool      `json:"practice"` // on an invented unit
	Changed  time.Time `json:"changed"`  // when the case file was last written, UTC
}

// Page says where the bench page is served.
type Page struct {
	Header
	URL    string `json:"url"`               // on this machine
	Cases  string `json:"cases"`             // folder of cases
	FarURL string `json:"far_url,omitempty"` // for other machines
	Code   string `json:"code,omitempty"`    // that they type
	Cost
}
