package answer

// Act is one thing a person does in a session, made on the state of a revision.
type Act struct {
	Revision int      `json:"rev"`             // of the state it is made on
	Do       string   `json:"do"`              // the act's name
	Text     string   `json:"text,omitempty"`  // a value, a net, a part, an outcome, a check
	Place    string   `json:"place,omitempty"` // as a case file takes it; of other acts a file or a figure
	Nets     []string `json:"nets,omitempty"`  // the two of a pair from a list
	N        int      `json:"n,omitempty"`     // which reading or move, from 0
}

// View is all that a page shows of a session, in words and in figures. It is the
// same for every window.
type View struct {
	Revision int           `json:"rev"`               // counts the confirmed acts
	ID       string        `json:"id"`                // of the case
	Title    string        `json:"title"`             // of the case
	Step     string        `json:"step"`              // name of the step at hand
	Busy     string        `json:"busy,omitempty"`    // the stage of work under way
	Trouble  *Trouble      `json:"trouble,omitempty"` // the last failure
	Board    *BoardSummary `json:"board"`             // nil while it is read
	Mend     *ReadFailure  `json:"mend,omitempty"`    // where it fails to read
	Nets     []string      `json:"nets"`              // the two chosen; none before
	Groups   [][]string    `json:"groups"`            // each net with those that low-ohm parts tie to it
	Picked   []string      `json:"picked"`            // nets tapped so far
	Path     []Milestone   `json:"path"`              // stages of the whole case
	Card     Card          `json:"card"`              // what to do now
	Target   *Target       `json:"target"`            // where to touch; nil where nothing is read
	Readings []Taken       `json:"readings"`          // in the case's order
	Findings []string      `json:"findings"`          // in words, in the case's order
	Where    *Where        `json:"where"`             // nil before the nets are solved
	Meter    MeterView     `json:"meter"`             // what reads
	CanUndo  bool          `json:"can_undo"`          // the last thing confirmed can be taken back
	RedGroup int           `json:"red_group"`         // the group that red goes on; black: the other
	Turns    int           `json:"turns"`             // quarter turns of the picture, clockwise from the top
	Focus    *Focus        `json:"focus"`             // what the picture shows; nil: the whole board
	Named    []string      `json:"named"`             // parts that the words speak of
	NoUndo   string        `json:"no_undo,omitempty"` // why not, in a sentence; "": nothing was done yet
	Early    *Early        `json:"early,omitempty"`   // what is drawn of a board that is still read
}

// Early is a picture of a board before all of it is read. Nothing can be picked on it.
type Early struct {
	Number int    `json:"number"` // from 1, one more with each that shows more
	Words  string `json:"words"`  // what is still done, and what the picture shows
}

// BoardSummary is the board in short.
type BoardSummary struct {
	Name    string      `json:"name"`    // of its folder, zip or file
	Size    string      `json:"size"`    // of the outline, in words
	Nets    int         `json:"nets"`    // count
	Parts   int         `json:"parts"`   // count
	Layers  int         `json:"layers"`  // count of copper layers
	Doubts  []DoubtView `json:"doubts"`  // with the ways to settle them
	Said    []string    `json:"said"`    // how files are read other than by themselves
	Roles   []string    `json:"roles"`   // to offer for a file
	Files   []FileView  `json:"files"`   // what was read
	Copies  []CopyView  `json:"copies"`  // of a panel; none: one board
	Copy    string      `json:"copy"`    // which was said: "2", "all", or ""
	Figures []Assumed   `json:"figures"` // that the case is worked out with
	Read    string      `json:"read"`    // changes when the board is read anew
}

// Milestone is one of the stages of the whole job.
type Milestone struct {
	Name  string `json:"name"`  // in a word
	State string `json:"state"` // "done", "now" or "ahead"
}

// Card is the one thing to do now.
type Card struct {
	Kind   string   `json:"kind,omitempty"`   // "wait": nothing to do until the work under way is done
	Head   string   `json:"head"`             // one line
	Text   []string `json:"text"`             // one sentence or two each
	Speak  string   `json:"speak"`            // what is said aloud
	Items  []Item   `json:"items,omitempty"`  // a list below the text
	Facts  []Fact   `json:"facts,omitempty"`  // figures below the text
	Entry  *Entry   `json:"entry,omitempty"`  // the value that can be typed; nil: none
	Doing  []Option `json:"doing"`            // what can be done, the first by the one key
	Bar    bool     `json:"bar"`              // the live bar matters now
	Tone   string   `json:"tone"`             // "", "good" or "care"
	Search bool     `json:"search,omitempty"` // nets and pins can be searched for
}

// Item is a line of a list, ticked or not.
type Item struct {
	Words string `json:"words"`         // one line
	Done  bool   `json:"done"`          // ticked
	Act   *Act   `json:"act,omitempty"` // what a tap on it does
}

// Fact is a figure with its name.
type Fact struct {
	Name  string `json:"name"`  // in words
	Value string `json:"value"` // with its unit
}

// Entry is a value that can be typed.
type Entry struct {
	Label string `json:"label"` // what is typed
	Hint  string `json:"hint"`  // an example of it
}

// Option is something that can be done.
type Option struct {
	Words string `json:"words"`           // on the button
	Note  string `json:"note,omitempty"`  // below it
	Aside bool   `json:"aside,omitempty"` // not by the one key: a value is wanted first
	Act   Act    `json:"act"`             // what it does
}

// Target is where to touch.
type Target struct {
	Kind    string     `json:"kind"`                 // "two-wire" or "four-wire"
	Red     SpotWords  `json:"red"`                  // where the red tip goes
	Black   SpotWords  `json:"black"`                // where the black tip goes
	ClipRed *SpotWords `json:"clip_red,omitempty"`   // four-wire: where the current goes in
	ClipBlk *SpotWords `json:"clip_black,omitempty"` // four-wire: where the current comes out
	Turn    string     `json:"turn,omitempty"`       // "turn the board over", where it lies wrong
	Why     string     `json:"why,omitempty"`        // what this reading is for
	Others  []Other    `json:"others"`               // other places, in words, none twice
	Cannot  string     `json:"cannot,omitempty"`     // the end said to be out of reach, which Others leave out
	Advised bool       `json:"advised"`              // the program chose the places
}

// Other is another reading that would tell.
type Other struct {
	From string `json:"from"` // where red goes, in words
	To   string `json:"to"`   // where black goes
	Cost string `json:"cost"` // what it is expected to tell, in bits, and the seconds that it takes
}

// Taken is one reading with what the best place predicts.
type Taken struct {
	N         int     `json:"n"`                   // from 0
	Places    string  `json:"places"`              // in words
	Value     string  `json:"value"`               // with its unit
	Predicted string  `json:"predicted,omitempty"` // with its unit
	Off       float64 `json:"off"`                 // measured less predicted, in uncertainties
	Share     float64 `json:"share"`               // of the largest reading, 0 to 1
	PredShare float64 `json:"predicted_share"`     // the prediction as such a share
	Doubtful  bool    `json:"doubtful"`            // marked so: it does not count
	Worst     bool    `json:"worst"`               // the reading that fits least
	FromX     float64 `json:"from_x_mm"`           // millimetres
	FromY     float64 `json:"from_y_mm"`           // millimetres
	ToX       float64 `json:"to_x_mm"`             // millimetres
	ToY       float64 `json:"to_y_mm"`             // millimetres
	FromBlack bool    `json:"from_black"`          // the black tip was on the first place, not the red one
	FromSide  string  `json:"from_side"`           // as of SpotWords
	ToSide    string  `json:"to_side"`             // as of SpotWords
}

// Where is what is known of the place.
type Where struct {
	Words    string       `json:"words"`                 // the answer in a sentence
	Radius   string       `json:"radius"`                // about the best place, in words; none inside a part
	Chance   string       `json:"chance"`                // that it is there, in words
	Hides    string       `json:"hides,omitempty"`       // what lies over the best place
	Gap      string       `json:"gap,omitempty"`         // between the two nets there
	Short    string       `json:"short,omitempty"`       // its resistance with a 90 % range
	Verdict  string       `json:"verdict"`               // of the fit: NoReading and so on
	OneShort bool         `json:"one_short"`             // one short explains all readings
	Note     string       `json:"note,omitempty"`        // of the fit
	Changed  string       `json:"changed,omitempty"`     // why the place changed with the last reading
	Touch    string       `json:"touch_again,omitempty"` // which reading to touch again, and where
	Reach    string       `json:"reach,omitempty"`       // what this meter can resolve here
	Worth    string       `json:"worth,omitempty"`       // what another reading would bring
	Best     *Best        `json:"best"`                  // nil before any reading, and with nothing to point at
	Places   []PlaceView  `json:"places"`                // the likeliest, in order
	Density  [][3]float64 `json:"density"`               // x, y (mm), share of the largest
}

// PlaceView is one place of the list.
type PlaceView struct {
	Words  string  `json:"words"`  // where
	Chance string  `json:"chance"` // in words
	P      float64 `json:"p"`      // probability
	Layer  string  `json:"layer"`  // "L1" is the top
	X      float64 `json:"x_mm"`   // millimetres
	Y      float64 `json:"y_mm"`   // millimetres
}

// MeterView says what reads here.
type MeterView struct {
	Kind  string `json:"kind"`  // "typed", "simulated" or "wire"
	Words string `json:"words"` // for the page's foot
	Down  bool   `json:"down"`  // tips are down: a value is on its way

	Address string `json:"address,omitempty"` // of a meter on a wire
	Lost    string `json:"lost,omitempty"`    // why it is not heard; it is tried again
}

// Live is what the meter says at this moment.
type Live struct {
	Text   string  `json:"text"`   // the value with its unit
	Share  float64 `json:"share"`  // 0 a short, 1 open, on a logarithmic bar
	Open   bool    `json:"open"`   // no short reads so high
	Steady bool    `json:"steady"` // the value has settled
	On     bool    `json:"on"`     // the meter streams
	Hot    bool    `json:"hot"`    // an iron or hot air may be on the board: the value means nothing
}

// SpotWords is a place with the words for it, as one person at the bench would
// tell another.
type SpotWords struct {
	Place  string  `json:"place"`          // as a case file takes it
	Words  string  `json:"words"`          // "C9, the end nearer J3"
	Part   string  `json:"part,omitempty"` // reference of the part there
	Layer  string  `json:"layer"`          // "L1" is the top
	Bottom bool    `json:"bottom"`         // touched from the bottom only
	Side   string  `json:"side"`           // that a tip reaches it from: "top", "bottom" or "both"
	Net    string  `json:"net"`            // name of its net
	X      float64 `json:"x_mm"`           // millimetres
	Y      float64 `json:"y_mm"`           // millimetres
}
