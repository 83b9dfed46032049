package answer

// Focus is what the picture of the board shows at a step: where, on which side,
// and how much of it. Lengths are millimetres in the files' frame.
type Focus struct {
	What string  `json:"what"`           // "tips", "place" or "part"
	Side string  `json:"side"`           // "top", "bottom", or "" where either shows it
	X0   float64 `json:"x0_mm"`          // the box to have in view
	Y0   float64 `json:"y0_mm"`          // its least y
	X1   float64 `json:"x1_mm"`          // its greatest x
	Y1   float64 `json:"y1_mm"`          // its greatest y
	Part string  `json:"part,omitempty"` // reference of the part that it is about
}
