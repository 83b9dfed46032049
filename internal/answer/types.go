package answer

// Schema is the version of the JSON answers.
const Schema = 1

// Header opens every answer.
type Header struct {
	Schema int `json:"schema"`
}

// NewHeader gives the header of the present schema.
func NewHeader() Header { return Header{Schema: Schema} }

// Cost says what an answer took; it is printed only when asked for.
type Cost struct {
	Timing    map[string]float64 `json:"timing,omitempty"` // seconds by stage, and "total"
	PeakRSSMB float64            `json:"peak_rss_mb,omitempty"`
}

// Spent gives the cost, so that a printer can clear it in any answer.
func (c *Cost) Spent() *Cost { return c }

// Pair is two places as a person writes them: "C7.1" or "L1@12.30,45.60".
type Pair struct {
	From string `json:"from"`
	To   string `json:"to"`
}

// Place is where a contact stands.
type Place struct {
	Layer string  `json:"layer"` // "L1" is the top
	X     float64 `json:"x_mm"`
	Y     float64 `json:"y_mm"`
	Pin   string  `json:"pin"` // "C7.1", or "" off any pin
}

// Doubt is something a practitioner should look at.
type Doubt struct {
	File string `json:"file"`
	Line int    `json:"line"`
	What string `json:"what"`
	Code string `json:"code,omitempty"` // where something can be done about it: "panel"
}

// Range is three points of a distribution, in ohms: 5 %, half, 95 %.
type Range struct {
	Low    float64 `json:"low"`
	Median float64 `json:"median"`
	High   float64 `json:"high"`
}
