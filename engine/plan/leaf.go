package plan

import (
	"pegpour/engine/text"
)

// TrackLine is the track of one panel.
type TrackLine struct {
	Offset float64 `json:"offset"` // of its middle, mm
	Start  float64 `json:"start"`  // chainage
	End    float64 `json:"end"`    // chainage
	// Length to cut, along the grade, mm.
	Length float64 `json:"length"`
}

// Panel is one panel of the leaf. Panel 1 leads and stands next to the
// fence, each other one behind the one before it.
type Panel struct {
	Number      int     `json:"number"`
	TrackOffset float64 `json:"trackOffset"`
	ShutAt      float64 `json:"shutAt"` // chainage of its leading edge when shut
	Travel      float64 `json:"travel"`
	Tail        float64 `json:"tail"`     // bottom rail past its frame
	RailOver    float64 `json:"railOver"` // guide rail past its frame
	Driven      bool    `json:"driven"`   // the rack is on it

	// Mass of the panel with all that hangs on it, kg.
	Mass float64 `json:"mass"`
	// Centre of gravity: along from the leading edge, above the foot of the
	// track, and behind the middle of the track (negative towards the fence), mm.
	CentreAlong  float64 `json:"centreAlong"`
	CentreHeight float64 `json:"centreHeight"`
	CentreOffset float64 `json:"centreOffset"`
	// Wheels from the leading edge.
	Wheels [2]WheelLoad `json:"wheels"`
	// RollerPush is the sideways force on the guide rollers that keeps the
	// panel from leaning, from the centre's offset, N; positive pushes the top
	// of the panel towards the property.
	RollerPush float64 `json:"rollerPush"`
}

// Rear is the chainage of a panel's hindmost part with its leading edge at s.
func (panel *Panel) Rear(leaf *Leaf, s float64) float64 {
	return s + leaf.Frame + max(panel.Tail, panel.RailOver)
}

// WheelLoad is what one wheel presses on the track with, square to it, N.
type WheelLoad struct {
	At       float64 `json:"at"`       // from the leading edge, mm
	Standing float64 `json:"standing"` // held at the rack or by hand, not moving
	Most     float64 `json:"most"`     // over all cases of being driven or pushed
	Least    float64 `json:"least"`    // negative: the wheel lifts
	// Stalled is the least while the motor pushes with all it has against
	// something at the height of a hand.
	Stalled float64 `json:"stalled"`
}

// LeafBuild is what the leaf is made of and how it moves.
type LeafBuild struct {
	// Slope of the track to which the leaf is raked, rad; positive climbs
	// towards the run-back. Stiles stand plumb, rails run along the slope.
	Slope float64 `json:"slope"`
	// Rise of the rear end of a panel's frame over its leading end, mm.
	Rise float64 `json:"rise"`
	// Cut lengths along the slope of one panel, mm; equal to the lengths along
	// the fence on a level track.
	GuideRailCut float64 `json:"guideRailCut"`
	RackCut      float64 `json:"rackCut"`
	// Foot is the underside of the leaf above the foot of the track, RackAt the
	// rack above it; RailSize and BottomSize are the heights of the sections,
	// RollerGap the distance between the pairs of rollers, mm.
	Foot       float64 `json:"foot"`
	RackAt     float64 `json:"rackAt"`
	RailSize   float64 `json:"railSize"`
	BottomSize float64 `json:"bottomSize"`
	RollerGap  float64 `json:"rollerGap"`
	// Bays between stiles of one panel.
	Bays    int      `json:"bays"`
	Members []Member `json:"members"`
	Infill  Infill   `json:"infill"`
	// Colour of the metal that was chosen, a constant of survey; "" where none was.
	Colour string `json:"colour,omitempty"`
	// Mass of all panels, kg.
	Mass   float64     `json:"mass"`
	Motion Motion      `json:"motion"`
	Proof  MotionProof `json:"proof"`
	// SectionMissing is set where no hollow section has the sides of a member.
	SectionMissing bool `json:"-"`
}

// Infill is what fills the frame.
type Infill struct {
	// Kind is a constant of survey for the gate's infill.
	Kind string `json:"kind"`
	// Size is the face of one batten, board or bar, Gap what the shop leaves between
	// two, mm; 0 where the infill is in one piece.
	Size float64 `json:"size,omitempty"`
	Gap  float64 `json:"gap,omitempty"`
}

// Member is one line of the leaf's cut list, over all panels.
type Member struct {
	Mark    text.Name `json:"mark"`
	Section text.Name `json:"section"`
	// Length from cut to cut along one edge, mm; Blank the stock it takes where
	// the ends are cut at an angle.
	Length float64 `json:"length"`
	Blank  float64 `json:"blank"`
	Count  int     `json:"count"`
	// CutOff is how far both end cuts are off square, rad. The two cuts are
	// parallel.
	CutOff float64 `json:"cutOff"`
	Mass   float64 `json:"mass"` // of all Count together, kg
	// Metal is set for what is cut from stock lengths of steel or aluminium.
	Metal bool `json:"metal,omitempty"`
}

// Motion is what it takes to move the leaf, N. With several panels, linked
// so that all arrive together, forces are those at the panel that is pushed:
// each panel's own times its travel over that of the pushed one.
type Motion struct {
	// Rolling is the resistance of bearings and track at its high end, RollingLow
	// at its low end; Rubbing what the guide rollers add in the wind in which the
	// leaf is still moved.
	Rolling    float64 `json:"rolling"`
	RollingLow float64 `json:"rollingLow"`
	Rubbing    float64 `json:"rubbing"`
	Downhill   float64 `json:"downhill"` // part of the weight along the track; positive towards the latch
	// Opening and Shutting are the forces that move it at an even speed at the
	// high end; negative where it has to be held back.
	Opening  float64 `json:"opening"`
	Shutting float64 `json:"shutting"`
	// Hand is the greatest by hand, either way and setting off, at the first
	// panel, in the wind in which it is still moved; HandStill the same in still
	// air.
	Hand      float64 `json:"hand"`
	HandStill float64 `json:"handStill"`
	// Start is what getting up to speed adds, Pull the greatest that the motor
	// must give, setting off or getting up to speed, Thrust the same with the
	// margin, ThrustStill that in still air. 0 without a motor.
	Start       float64 `json:"start"`
	Pull        float64 `json:"pull"`
	Thrust      float64 `json:"thrust"`
	ThrustStill float64 `json:"thrustStill"`
	// Runaway is set when the leaf can roll by itself once released, at the low
	// end of rolling, towards the latch or, where Opens is set, towards the
	// run-back; Speed is what it has at the end of its travel, mm/s, and Held what
	// holds it still at the first panel.
	Runaway bool    `json:"runaway"`
	Opens   bool    `json:"opens"`
	Speed   float64 `json:"speed"`
	Held    float64 `json:"held"`
	// Stalled is what the motor goes on pushing with at a closing edge, StalledPeak
	// the peak before it on the spring of the gauge by which closing forces are
	// measured, EdgeWay how far an edge must give way (mm) that stops the motor.
	// 0 without a motor.
	Stalled     float64 `json:"stalled"`
	StalledPeak float64 `json:"stalledPeak"`
	EdgeWay     float64 `json:"edgeWay"`
}

// MotionProof shows that the leaf can move, twice over: by inequalities at the
// ends of the travel, and by a sweep that looks at the leaf in many
// places of its travel.
type MotionProof struct {
	Items   []ProofItem `json:"items"`
	Holders []Holder    `json:"holders"`
	// LeastHolders is the smallest number of parts that hold a panel upright
	// anywhere on its travel; FewFrom to FewTo is that stretch, chainages of the
	// leading edge, of panel FewPanel.
	LeastHolders int     `json:"leastHolders"`
	FewFrom      float64 `json:"fewFrom"`
	FewTo        float64 `json:"fewTo"`
	FewPanel     int     `json:"fewPanel"`
	// Steps is at how many places the sweep looked; Agrees says that it found
	// what the inequalities say.
	Steps  int  `json:"steps"`
	Agrees bool `json:"agrees"`
	// Proven: every item holds and at least one part holds each panel upright
	// everywhere.
	Proven bool `json:"proven"`
}

// ProofItem is one thing that must be so over the whole travel.
type ProofItem struct {
	ID    string    `json:"id"`
	Panel int       `json:"panel"`
	What  text.Text `json:"what"`
	Holds bool      `json:"holds"`
	// Swept is what the sweep found.
	Swept bool `json:"swept"`
	// Margin to spare at the worst place, mm, where HasMargin.
	Margin    float64 `json:"margin"`
	HasMargin bool    `json:"hasMargin,omitempty"`
}

// Holder is a part that holds a panel upright while its leading edge is between
// two chainages.
type Holder struct {
	Panel int     `json:"panel"`
	Part  string  `json:"part"`
	From  float64 `json:"from"`
	To    float64 `json:"to"`
}
