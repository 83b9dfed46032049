package answer

// Act is one thing a person does in a session, made on the state of a revision.
type Act struct {
	Revision int      `json:"rev"`
	Do       string   `json:"do"`
	Text     string   `json:"text,omitempty"` // a value, a net, a part, an outcome, a check
	Place    string   `json:"place,omitempty"`
	Nets     []string `json:"nets,omitempty"`
	N        int      `json:"n,omitempty"` // which reading or move, from 0
}

// View is all that a page shows of a session, in words and in figures. It is the
// same for every window.
type View struct {
	Revision int           `json:"rev"`
	ID       string        `json:"id"`
	Title    string        `json:"title"`
	Step     string        `json:"step"`
	Busy     string        `json:"busy,omitempty"`
	Trouble  *Trouble      `json:"trouble,omitempty"`
	Board    *BoardSummary `json:"board"`          // nil while it is read
	Mend     *ReadFailure  `json:"mend,omitempty"` // where it fails to read
	Nets     []string      `json:"nets"`
	Groups   [][]string    `json:"groups"` // each net with those that low-ohm parts tie to it
	Picked   []string      `json:"picked"`
	Path     []Milestone   `json:"path"`
	Card     Card          `json:"card"`
	Target   *Target       `json:"target"`
	Readings []Taken       `json:"readings"`
	Findings []string      `json:"findings"`
	Where    *Where        `json:"where"` // nil before the nets are solved
	Meter    MeterView     `json:"meter"`
	CanUndo  bool          `json:"can_undo"`
}

// BoardSummary is the board in short.
type BoardSummary struct {
	Name    string      `json:"name"`
	Size    string      `json:"size"`
	Nets    int         `json:"nets"`
	Parts   int         `json:"parts"`
	Layers  int         `json:"layers"`
	Doubts  []DoubtView `json:"doubts"`
	Said    []string    `json:"said"`  // how files are read other than by themselves
	Roles   []string    `json:"roles"` // to offer for a file
	Files   []FileView  `json:"files"`
	Copies  []CopyView  `json:"copies"`  // of a panel; none: one board
	Copy    string      `json:"copy"`    // which was said: "2", "all", or ""
	Figures []Assumed   `json:"figures"` // that the case is worked out with
	Read    string      `json:"read"`    // changes when the board is read anew
}

// Milestone is one of the stages of the whole job.
type Milestone struct {
	Name  string `json:"name"`
	State string `json:"state"` // "done", "now" or "ahead"
}

// Card is the one thing to do now.
type Card struct {
	Kind   string   `json:"kind,omitempty"` // "wait": nothing to do until the work under way is done
	Head   string   `json:"head"`
	Text   []string `json:"text"`  // one sentence or two each
	Speak  string   `json:"speak"` // what is said aloud
	Items  []Item   `json:"items,omitempty"`
	Facts  []Fact   `json:"facts,omitempty"`
	Entry  *Entry   `json:"entry,omitempty"`
	Doing  []Option `json:"doing"` // what can be done, the first by the one key
	Bar    bool     `json:"bar"`   // the live bar matters now
	Tone   string   `json:"tone"`  // "", "good" or "care"
	Search bool     `json:"search,omitempty"`
}

// Item is a line of a list, ticked or not.
type Item struct {
	Words string `json:"words"`
	Done  bool   `json:"done"`
	Act   *Act   `json:"act,omitempty"` // what a tap on it does
}

// Fact is a figure with its name.
type Fact struct {
	Name  string `json:"name"`
	Value string `json:"value"`
}

// Entry is a value that can be typed.
type Entry struct {
	Label string `json:"label"`
	Hint  string `json:"hint"`
}

// Option is something that can be done.
type Option struct {
	Words string `json:"words"`
	Note  string `json:"note,omitempty"`
	Aside bool   `json:"aside,omitempty"` // not by the one key: a value is wanted first
	Act   Act    `json:"act"`
}

// Target is where to touch.
type Target struct {
	Kind    string     `json:"kind"` // "two-wire" or "four-wire"
	Red     SpotWords  `json:"red"`
	Black   SpotWords  `json:"black"`
	ClipRed *SpotWords `json:"clip_red,omitempty"` // four-wire: where the current goes in
	ClipBlk *SpotWords `json:"clip_black,omitempty"`
	Turn    string     `json:"turn,omitempty"` // "turn the board over", where it lies wrong
	Why     string     `json:"why,omitempty"`
	Others  []Pair     `json:"others"` // other advised places, in words
	Advised bool       `json:"advised"`
}

// Taken is one reading with what the best place predicts.
type Taken struct {
	N         int     `json:"n"` // from 0
	Places    string  `json:"places"`
	Value     string  `json:"value"`
	Predicted string  `json:"predicted,omitempty"`
	Off       float64 `json:"off"` // measured less predicted, in uncertainties
	Share     float64 `json:"share"`
	PredShare float64 `json:"predicted_share"`
	Doubtful  bool    `json:"doubtful"`
	Worst     bool    `json:"worst"`
	FromX     float64 `json:"from_x_mm"`
	FromY     float64 `json:"from_y_mm"`
	ToX       float64 `json:"to_x_mm"`
	ToY       float64 `json:"to_y_mm"`
}

// Where is what is known of the place.
type Where struct {
	Words    string       `json:"words"` // the answer in a sentence
	Radius   string       `json:"radius"`
	Chance   string       `json:"chance"`
	Hides    string       `json:"hides,omitempty"`
	Gap      string       `json:"gap,omitempty"`
	Short    string       `json:"short,omitempty"`
	Verdict  string       `json:"verdict"`
	OneShort bool         `json:"one_short"` // one short explains all readings
	Note     string       `json:"note,omitempty"`
	Changed  string       `json:"changed,omitempty"`
	Touch    string       `json:"touch_again,omitempty"`
	Reach    string       `json:"reach,omitempty"` // what this meter can resolve here
	Worth    string       `json:"worth,omitempty"` // what another reading would bring
	Best     *Best        `json:"best"`
	Places   []PlaceView  `json:"places"`
	Density  [][3]float64 `json:"density"` // x, y (mm), share of the largest
}

// PlaceView is one place of the list.
type PlaceView struct {
	Words  string  `json:"words"`
	Chance string  `json:"chance"`
	P      float64 `json:"p"`
	Layer  string  `json:"layer"`
	X      float64 `json:"x_mm"`
	Y      float64 `json:"y_mm"`
}

// MeterView says what reads here.
type MeterView struct {
	Kind  string `json:"kind"` // "typed" or "simulated"
	Words string `json:"words"`
	Down  bool   `json:"down"` // tips are down: a value is on its way
}

// Live is what the meter says at this moment.
type Live struct {
	Text   string  `json:"text"`
	Share  float64 `json:"share"` // 0 a short, 1 open, on a logarithmic bar
	Open   bool    `json:"open"`
	Steady bool    `json:"steady"`
	On     bool    `json:"on"`
}

// SpotWords is a place with the words for it, as one person at the bench would
// tell another.
type SpotWords struct {
	Place  string  `json:"place"` // as a case file takes it
	Words  string  `json:"words"` // "C9, the end nearer J3"
	Part   string  `json:"part,omitempty"`
	Layer  string  `json:"layer"`
	Bottom bool    `json:"bottom"` // touched from the bottom only
	X      float64 `json:"x_mm"`
	Y      float64 `json:"y_mm"`
}
