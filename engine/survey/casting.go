package survey

// Casting is what was read of forms and depths, and noted of the pour.
type Casting struct {
	// Forms is where the string, the laser or the level stood for the tops of forms.
	Forms SetUp `json:"setUp,omitzero"`
	// Tops are the tops of forms, as read.
	Tops []FormTop `json:"tops,omitempty"`
	// Depths are how deep was dug.
	Depths []DugDepth `json:"depths,omitempty"`
	Pour   Pour       `json:"pour,omitzero"`
}

// SetUp is one place of a level, a laser or a string line, and the point that keeps
// its level, from which it was set and to which it came back.
type SetUp struct {
	// Level of that point above the survey's datum, mm. Not measured, it is a point of
	// the finished drive on the track line at the chainage Along.
	Level Value `json:"level,omitzero"`
	Along Value `json:"along,omitzero"` // mm; not measured counts as the latch post
	// Open and Close are how far the point lay below the sight or the string before
	// and after the readings, mm.
	Open  Value `json:"open,omitzero"`
	Close Value `json:"close,omitzero"`
}

// FormTop is how far the top of a form lies below the sight or the string.
type FormTop struct {
	Part  string `json:"part,omitempty"` // a Cast constant
	Along Value  `json:"along,omitzero"` // chainage, mm
	Down  Value  `json:"down,omitzero"`  // mm; minus where it stands above
}

// DugDepth is how deep was dug at one place, from the top of the concrete to come.
type DugDepth struct {
	Part  string `json:"part,omitempty"` // a Cast constant
	Along Value  `json:"along,omitzero"` // chainage, mm
	Out   Value  `json:"out,omitzero"`   // from the back of the fence, mm; of the pad
	Depth Value  `json:"depth,omitzero"` // mm
}

// Parts of what is poured.
const (
	CastRunBack = "run-back" // strip in the run-back
	CastDrive   = "drive"    // strip that vehicles cross
	CastLatch   = "latch"    // strip before the drive
	CastPad     = "pad"
	CastHole    = "hole" // of the guide post
)

// Pour is what was noted of the pour, and the temperatures since.
type Pour struct {
	Bags   Value  `json:"bags,omitzero"`
	Docket string `json:"docket,omitempty"`
	// Delivered is the concrete that came by truck, m³, without what went back.
	Delivered Value `json:"delivered,omitzero"`
	// Began and Ended are local days and times as a clock on site shows them:
	// 2026-04-01T07:30.
	Began string `json:"began,omitempty"`
	Ended string `json:"ended,omitempty"`
	// Cement is a Cement constant.
	Cement string `json:"cement,omitempty"`
	// Strength is the cylinder strength at 28 days by which the mix was sold, MPa.
	Strength Value `json:"strength,omitzero"`
	// Warmth is the temperature that held since the pour, °C, where none was read by
	// the hour; Expected is the one that is expected from the last reading on.
	Warmth   Value     `json:"warmth,omitzero"`
	Expected Value     `json:"expected,omitzero"`
	Hours    []CuredAt `json:"hours,omitempty"`
}

// CuredAt is a temperature some time after the pour.
type CuredAt struct {
	After  Value `json:"after,omitzero"`  // hours after the end of the pour
	Warmth Value `json:"warmth,omitzero"` // °C
}

// How fast a cement hardens.
const (
	CementNormal = "N"
	CementRapid  = "R"
	CementSlow   = "S"
)

// The most entries of each list.
const (
	MaxFormTops  = 60
	MaxDugDepths = 60
	MaxCuredAt   = 200
)

func (c Casting) clone() Casting {
	c.Tops = append([]FormTop(nil), c.Tops...)
	c.Depths = append([]DugDepth(nil), c.Depths...)
	c.Pour.Hours = append([]CuredAt(nil), c.Pour.Hours...)
	return c
}
