package answer

// Schema is the version of the JSON answers.
const Schema = 1

// Header opens every answer.
type Header struct {
	Schema int `json:"schema"` // version of the JSON, Schema
}

// NewHeader gives the header of the present schema.
func NewHeader() Header { return Header{Schema: Schema} }

// Cost says what an answer took; it is printed only when asked for.
type Cost struct {
	Timing map[string]float64 `json:"timing,omitempty"` // seconds by stage, and "total"
	// largest resident memory of the program, megabytes
	PeakRSSMB float64 `json:"peak_rss_mb,omitempty"`
}

// Spent gives the cost, so that a printer can clear it in any answer.
func (c *Cost) Spent() *Cost { return c }

// Pair is two places as a person writes them: "C7.1" or "L1@12.30,45.60".
type Pair struct {
	From string `json:"from"` // first place
	To   string `json:"to"`   // second place
}

// Place is where a contact stands.
type Place struct {
	Layer string  `json:"layer"`         // "L1" is the top
	X     float64 `json:"x_mm"`          // millimetres
	Y     float64 `json:"y_mm"`          // millimetres, up
	Pin   string  `json:"pin"`           // "C7.1", or "" off any pin
	Rim   bool    `json:"rim,omitempty"` // it is in a plated hole, whose rim is touched
}

// Doubt is something a practitioner should look at.
type Doubt struct {
	File string `json:"file"`           // the one that raises it, or ""
	Line int    `json:"line"`           // from 1; 0: no line
	What string `json:"what"`           // what is doubtful, in words
	Code string `json:"code,omitempty"` // where something can be done about it: "panel"
	Part bool   `json:"part,omitempty"` // copper or holes are missing by it: exit code 3
}

// Range is three points of a distribution, in ohms: 5 %, half, 95 %.
type Range struct {
	Low    float64 `json:"low"`    // ohms, 5 %
	Median float64 `json:"median"` // ohms
	High   float64 `json:"high"`   // ohms, 95 %
}
