package answer

// Meters are the instruments that may be there.
type Meters struct {
	Header
	Instruments []MeterFound `json:"instruments"`     // found; nothing was sent to them
	Notes       []string     `json:"notes,omitempty"` // what could not be looked at
	Cost
}

// MeterFound is an instrument that may be there.
type MeterFound struct {
	Address     string `json:"address"`                // in resource form
	Name        string `json:"name"`                   // as it announces itself, or the port's
	Kind        string `json:"kind"`                   // "serial port", "USB device" or "network"
	PortGuessed bool   `json:"port_guessed,omitempty"` // it did not say its port: the customary one
	Known       bool   `json:"known,omitempty"`        // it answered before, and is not heard of now
}

// MeterIdentity is who an instrument says it is.
type MeterIdentity struct {
	Address  string `json:"address"` // in resource form
	Maker    string `json:"maker"`
	Model    string `json:"model"`
	Serial   string `json:"serial"`   // number
	Firmware string `json:"firmware"` // version
}

// MeterReading is what an instrument read.
type MeterReading struct {
	Header
	Meter   MeterIdentity `json:"meter"`
	Samples []MeterSample `json:"samples"`         // all that were taken
	Touch   *MeterTouch   `json:"touch,omitempty"` // with --steady
	Notes   []string      `json:"notes,omitempty"` // what could not be done
	Cost
}

// MeterSample is one value that an instrument sent.
type MeterSample struct {
	Time        string   `json:"time"`                 // when it was there
	Function    string   `json:"function"`             // "two-wire" or "four-wire"
	State       string   `json:"state"`                // "value", "overload", "negative overload" or "no value"
	Ohms        *float64 `json:"ohms"`                 // null unless State is "value"
	RangeOhms   float64  `json:"range_ohms,omitempty"` // that the instrument had
	NPLC        float64  `json:"nplc,omitempty"`       // integration, in periods of the mains
	Compensated bool     `json:"compensated"`          // contact potentials are taken out
	Checked     bool     `json:"checked"`              // the instrument sent it twice and the same
	Raw         string   `json:"raw"`                  // as sent
}

// MeterTouch is the steady value of one touch.
type MeterTouch struct {
	Ohms       float64 `json:"ohms"`        // the median of its window
	SpreadOhms float64 `json:"spread_ohms"` // robust standard deviation of one sample
	Window     int     `json:"window"`      // samples that it is made of, the last ones
}

// MeterWatch is one line of a watch: a change of state, or the state each second.
type MeterWatch struct {
	Meter    *MeterIdentity `json:"meter,omitempty"` // which; in the first line alone
	Time     string         `json:"time"`            // of the value; of the line where none came
	State    string         `json:"state"`           // "waiting", "short", "open" or "cleared"
	Changed  bool           `json:"changed"`         // it is another than in the value before
	Ohms     *float64       `json:"ohms"`            // as read, leads included; null: there is no number
	Overload bool           `json:"overload"`        // open, tips lifted, or beyond the range
	Phase    string         `json:"phase,omitempty"` // what the values look like, in words
	Lost     string         `json:"lost,omitempty"`  // why the instrument is not heard; it is tried again
}

// PracticeServed is a practice bench on a socket.
type PracticeServed struct {
	Header
	Address string   `json:"address"` // of the simulated meter, in resource form
	Seed    uint64   `json:"seed"`    // number of the unit
	Unit    string   `json:"unit"`    // its name
	Nets    []string `json:"nets"`    // the two that are shorted
	Meter   string   `json:"meter"`   // its profile
	Places  []string `json:"places"`  // two to begin with, one on either net
	Cost
}
