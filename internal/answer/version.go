package answer

// Version says which program this is.
type Version struct {
	Header
	Version  string `json:"version"`  // of the program, as the build has it
	Revision string `json:"revision"` // of its source; "" where the build does not know
	Changed  bool   `json:"changed"`  // the source had changes beside that revision
	Go       string `json:"go"`       // version of Go that built it
	Platform string `json:"platform"` // system and processor
}
