package answer

import (
	"time"
)

// PronePair is two nets that could well touch, and where the likeliest place
// is.
type PronePair struct {
	Nets   [2]string `json:"nets"`
	Chance float64   `json:"chance"` // share of all places of the design
	Places int       `json:"places"`
	Where  string    `json:"where"`
	Layer  string    `json:"layer"`
	X      float64   `json:"x_mm"`
	Y      float64   `json:"y_mm"`
	Touch  [2]string `json:"touch"`          // a place on each that a tip reaches, in words; "" for none
	Good   string    `json:"good,omitempty"` // what a good unit read across them, in words; "": not known
}

// Found is a net or a pin that a search found.
type Found struct {
	Net  string `json:"net"`
	Pin  string `json:"pin,omitempty"` // "" for the net itself
	Pads int    `json:"pads"`
}

// Spot is what lies at a place that was pointed at.
type Spot struct {
	Net   string `json:"net"`
	Place string `json:"place"` // as a case file takes it
	Words string `json:"words"`
	Layer string `json:"layer"`
	X     float64
	Y     float64
}

// Reply is an answer in words and figures.
type Reply struct {
	Words []string `json:"words"`
	Facts []Fact   `json:"facts"`
}

// CaseLine is one case in the list of recent ones.
type CaseLine struct {
	ID       string    `json:"id"`
	Title    string    `json:"title"`
	Nets     []string  `json:"nets"`
	Readings int       `json:"readings"`
	State    string    `json:"state"`
	Practice bool      `json:"practice"`
	Changed  time.Time `json:"changed"`
}

// Page says where the bench page is served.
type Page struct {
	Header
	URL    string `json:"url"`
	Cases  string `json:"cases"`             // folder of cases
	FarURL string `json:"far_url,omitempty"` // for other machines
	Code   string `json:"code,omitempty"`    // that they type
	Cost
}
