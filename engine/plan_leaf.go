package engine

// TrackLine is the track of one panel.
type TrackLine struct {
	Offset float64 `json:"offset"` // of its middle, mm
	Start  float64 `json:"start"`  // chainage
	End    float64 `json:"end"`    // chainage
	// Length to cut, along the grade, mm.
	Length float64 `json:"length"`
}

// PanelPlan is one panel of the leaf. Panel 1 leads and stands next to the
// fence, each other one behind the one before it.
type PanelPlan struct {
	Number      int     `json:"number"`
	TrackOffset float64 `json:"trackOffset"`
	ShutAt      float64 `json:"shutAt"` // chainage of its leading edge when shut
	Travel      float64 `json:"travel"`
	Tail        float64 `json:"tail"`     // bottom rail past its frame
	RailOver    float64 `json:"railOver"` // guide rail past its frame
	Driven      bool    `json:"driven"`   // the rack is on it
}

// LeafBuild is what the leaf is made of and how it moves.
type LeafBuild struct{}
