package answer

// Assumed is one of the figures that a case is worked out with, as it stands
// and as it may be said otherwise.
type Assumed struct {
	Key   string `json:"key"`            // for the act "assume"
	Name  string `json:"name"`           // in words
	Value string `json:"value"`          // what is taken now
	Said  string `json:"said,omitempty"` // what was said, as it is typed; "": nothing
	Hint  string `json:"hint"`           // an example of what can be typed
}

// DoubtView is a doubt about the files, and what settles it.
type DoubtView struct {
	Doubt
	Key     string   `json:"key"`          // what a case keeps of it
	Settled bool     `json:"settled"`      // looked at, and it is so
	Says    string   `json:"says"`         // the doubt in plain words and figures
	Advice  string   `json:"advice"`       // what to do about it
	Ways    []Option `json:"ways"`         // what settles it
	As      string   `json:"as,omitempty"` // what its file was taken for, where another role can be said
}

// ReadFailure is what can be done about a board that fails to read.
type ReadFailure struct {
	Files []string `json:"files"` // what a role can be given to
	File  string   `json:"file"`  // the one that the failure is about, or ""
	Roles []string `json:"roles"` // to offer for them
	Ways  []Option `json:"ways"`  // what can be tapped
}

// FileView is one of the board's files, and what it was taken for.
type FileView struct {
	Path string `json:"path"`          // below the board's folder
	Role string `json:"role"`          // what it was taken for
	Why  string `json:"why,omitempty"` // what that follows from
}

// CopyView is one copy of the board in a panel.
type CopyView struct {
	N     int    `json:"n"`     // from 1
	Words string `json:"words"` // where it stands on the panel
}
