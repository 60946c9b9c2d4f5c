package plan

import (
	"encoding/json"

	"pegpour/engine/text"
)

// Strength is the first pass over what concrete, post and anchors can bear. It is never a
// substitute for an engineer, and every figure of it says so.
type Strength struct {
	// Soil is what the ground is taken for.
	Soil SoilTaken `json:"soil"`
	// Strip is the drive strip under a wheel; nil where none is poured.
	Strip *StripStrength `json:"strip,omitempty"`
	// Guide is what the wind asks of what holds the leaf upright.
	Guide *GuideStrength `json:"guide,omitempty"`
	// The gate posts where the leaf hangs on them in the wind: the run-back post
	// under the rollers, the latch post under the catch; nil where it does not.
	RunBackPost *GatePost `json:"runBackPost,omitempty"`
	LatchPost   *GatePost `json:"latchPost,omitempty"`
	// Frame is the leaf's frame in the wind and under its weight; nil where it
	// could not be looked at.
	Frame *LeafFrame `json:"frame,omitempty"`
	// What the hard stop and the motor's anchors must hold.
	StopLoad    float64      `json:"stopLoad,omitempty"`    // N
	StopShear   float64      `json:"stopShear,omitempty"`   // N on each anchor of the stop
	StopTension float64      `json:"stopTension,omitempty"` // N in each anchor that is pulled
	MotorAnchor AnchorDemand `json:"motorAnchor,omitzero"`  // under the motor's thrust
	StopHold    AnchorHold   `json:"stopHold,omitzero"`     // the stop's anchors in their concrete
	MotorHold   AnchorHold   `json:"motorHold,omitzero"`    // the motor's
	// Carriages are the anchors of the front and the rear carriage of a leaf that hangs
	// free, where they could be looked at.
	Carriages []CarriageHold `json:"carriages,omitempty"`
	// Impacts are the leaf as it meets its stops; Cases the load cases of its
	// motion, for a table.
	Impacts []Impact   `json:"impacts,omitempty"`
	Cases   []LoadCase `json:"cases,omitempty"`
	Refused []Refusal  `json:"refused,omitempty"` // what could not be looked at
}

// SoilTaken is the class of soil that the figures stand on.
type SoilTaken struct {
	Key  string    `json:"key"`
	Name text.Name `json:"name"`
	// Known says that it was named on site; else the weakest that the words
	// "firm" or "soft" allow stands in.
	Known    bool    `json:"known"`
	Presumed bool    `json:"presumed"` // strengths may be presumed
	Bearing  float64 `json:"bearing"`  // MPa; Pa in the document
	Lateral  float64 `json:"lateral"`  // MPa for each mm of depth
	Subgrade float64 `json:"subgrade"` // N/mm³, the low end
	// SubgradeHigh is the high end.
	SubgradeHigh float64 `json:"subgradeHigh"` // N/mm³
}

// Megapascal is one in Pa. The engine holds the pressures that ground bears in
// MPa, as all its stresses; the documents of a plan hold these two in Pa.
const Megapascal = 1e6

// MarshalJSON writes Bearing in Pa.
func (s SoilTaken) MarshalJSON() ([]byte, error) {
	type document SoilTaken
	s.Bearing *= Megapascal
	return json.Marshal(document(s))
}

// MarshalJSON writes Bearing in Pa.
func (s StripStrength) MarshalJSON() ([]byte, error) {
	type document StripStrength
	s.Bearing *= Megapascal
	return json.Marshal(document(s))
}

// StripStrength is a strip under a vehicle's wheel.
type StripStrength struct {
	Contact    float64 `json:"contact"`    // radius of the tyre's foot, mm
	Relative   float64 `json:"relative"`   // radius of relative stiffness of a slab as deep, mm
	AsSlab     bool    `json:"asSlab"`     // wide enough for Westergaard's slab; else a beam
	Vehicle    string  `json:"vehicle"`    // that crosses it, a choice of the survey
	Wheel      float64 `json:"wheel"`      // N
	Length     float64 `json:"length"`     // between its ends, mm
	Sagging    float64 `json:"sagging"`    // N·mm, tension at the bottom, the worst of all places
	Hogging    float64 `json:"hogging"`    // N·mm, tension at the top, the worst of all places
	SagAt      float64 `json:"sagAt"`      // from an end, of the wheel that sags it, mm
	HogAt      float64 `json:"hogAt"`      // from an end, of the wheel that hogs it, mm
	Interior   float64 `json:"interior"`   // MPa, Westergaard; 0 when not AsSlab
	Edge       float64 `json:"edge"`       // MPa
	Corner     float64 `json:"corner"`     // MPa
	Bottom     float64 `json:"bottom"`     // MPa, greatest tension at the bottom
	Top        float64 `json:"top"`        // MPa, greatest tension at the top
	Rupture    float64 `json:"rupture"`    // MPa at which plain concrete cracks
	PlainUse   float64 `json:"plainUse"`   // of rupture over its safety, bottom and top
	TopUse     float64 `json:"topUse"`     // of rupture over its safety, top only
	Bar        float64 `json:"bar"`        // N·mm that the reinforced section bears
	BarUse     float64 `json:"barUse"`     // of that, by the factored sagging
	Bearing    float64 `json:"bearing"`    // MPa on the ground; Pa in the document
	BearingUse float64 `json:"bearingUse"` // of what may be presumed; 0 where nothing may
	Shear      float64 `json:"shear"`      // N beside a tyre's foot
	ShearHolds float64 `json:"shearHolds"` // N that the concrete holds
	ShearUse   float64 `json:"shearUse"`   // of that, by the factored shear
	Steel      float64 `json:"steel"`      // mm², along the strip
	LeastSteel float64 `json:"leastSteel"` // mm²; with less the mesh is not counted
	// Use is the greatest of the uses that decide: the top must not crack; at the
	// bottom the concrete does not or the mesh holds it; shear and the ground.
	// Where nothing may be presumed of the ground it does not say that all holds.
	Use float64 `json:"use"`
	// EarthUse is Use with as much concrete under the mesh as bare earth asks for;
	// 0 where that was refused.
	EarthUse float64 `json:"earthUse,omitempty"`
	// JointSpacing is how far apart the strip's joints may be, mm, Joints how many
	// it takes between its ends.
	JointSpacing float64 `json:"jointSpacing"`
	Joints       int     `json:"joints,omitempty"`
	// Depth is the least that passes, mm; 0 when the depth there is does, or none
	// that is looked at does. Width is set where it must be wider as well.
	Depth float64 `json:"depth,omitempty"`
	Width float64 `json:"width,omitempty"`
}

// GuideStrength is the wind's push on the rollers at the run-back post and what
// it does to the guide post.
type GuideStrength struct {
	Solidity  float64 `json:"solidity"`
	Pressure  float64 `json:"pressure"`            // Pa, the site's peak velocity pressure at the top of the leaf
	Force     float64 `json:"force"`               // N on the whole shut leaf
	Shut      float64 `json:"shut"`                // N at the rollers, leaf shut
	Open      float64 `json:"open"`                // N at the rollers, leaf open and left in a storm
	OpenForce float64 `json:"openForce"`           // N on the open leaf: of a stack the panel that hides the others
	Moving    float64 `json:"moving"`              // N at the rollers, leaf moved in wind
	Lean      float64 `json:"lean"`                // N at the rollers, a person leaning on the leaf
	Wheel     float64 `json:"wheel"`               // N sideways at the wheel that takes most, of all these
	Push      float64 `json:"push"`                // N, the greatest, with the leaf's own lean
	Latch     float64 `json:"latch"`               // N at the latch catch; 0 without one
	OpenCatch float64 `json:"openCatch,omitempty"` // N at the catch of the open leaf; 0 without one
	Height    float64 `json:"height"`              // mm of the rollers above the foot of the post
	// What follows is of a guide post; 0 where the rollers hang on the gate post.
	PostBending
	PostInHole
	PostOnPlate
}

// GatePost is a gate post under what the leaf asks of it in the wind.
type GatePost struct {
	Made   string  `json:"made"`          // what its section is made of, as the survey names it
	Force  float64 `json:"force"`         // N
	Moment float64 `json:"moment"`        // N·mm at its foot
	Use    float64 `json:"use,omitempty"` // of what its section may take; 0 where it could not be judged
}

// LeafFrame is how hard the members of a leaf's frame are worked in the wind of the site, shut and
// open and left, each as a part of what it may take.
type LeafFrame struct {
	Rail      text.Name `json:"rail"`   // of top rail and stiles
	Bottom    text.Name `json:"bottom"` // of the bottom rail
	TopUse    float64   `json:"topUse"`
	BottomUse float64   `json:"bottomUse"` // with the leaf's own weight
	StileUse  float64   `json:"stileUse"`
	Use       float64   `json:"use"`             // the greatest
	Open      bool      `json:"open,omitempty"`  // the greatest is of the open leaf
	Loose     bool      `json:"loose,omitempty"` // then rollers alone hold the top, and the frame is twisted
	Sag       float64   `json:"sag"`             // mm, of the bottom rail between the wheels under the leaf's weight
	SagMost   float64   `json:"sagMost"`         // mm
}

// PostBending is the guide post as a cantilever under the push on the rollers.
type PostBending struct {
	Moment   float64   `json:"moment,omitempty"` // N·mm at its foot
	Section  text.Name `json:"section,omitempty"`
	Use      float64   `json:"use,omitempty"`      // of the yield strength over its safety
	Sway     float64   `json:"sway,omitempty"`     // mm at the rollers; 0 when it was refused
	Stronger float64   `json:"stronger,omitempty"` // size of the least square section that passes, mm; 0 when this one does
}

// PostInHole is how deep a guide post that is cast in must stand in firm ground.
type PostInHole struct {
	// Embedment is the depth that is wanted, mm, with nothing but soil to hold
	// the post; Floor the same where a rigid floor holds it at the surface, 0
	// when it was refused; In what it has. 0 where the soil's strength may not be
	// presumed.
	Embedment float64 `json:"embedment,omitempty"`
	Floor     float64 `json:"floor,omitempty"`
	In        float64 `json:"in,omitempty"`
	// Gives is how far the ground lets the rollers move, mm: the post leans in it;
	// 0 when it was refused.
	Gives float64 `json:"gives,omitempty"`
	// ByTrade says that the shop keeps the trade's depth by its own judgement,
	// whatever strength asks for.
	ByTrade bool `json:"byTrade,omitempty"`
}

// PostOnPlate is what holds a guide post that is bolted down.
type PostOnPlate struct {
	Anchor AnchorDemand `json:"anchor,omitzero"` // of its base plate
	Hold   AnchorHold   `json:"hold,omitzero"`   // and the concrete around them
	// PadTips is the moment (N·mm) that the pad's and strip's own weight holds
	// against tipping about an edge of their underside, Tipping the moment of the
	// push about it.
	PadTips float64 `json:"padTips,omitempty"`
	Tipping float64 `json:"tipping,omitempty"`
}

// AnchorHold is how hard the anchors of one plate are worked in their concrete.
type AnchorHold struct {
	Use       float64   `json:"use"`       // of what they may take; 0 where it could not be judged
	Mode      text.Name `json:"mode"`      // what fails first
	Demand    float64   `json:"demand"`    // N, asked of it
	Allowable float64   `json:"allowable"` // N
	Anchors   int       `json:"anchors"`   // that share it
	// Edge is how near to the concrete's edge they stand, EdgeLeast the least at
	// which they can be judged, mm; both 0 where they can.
	Edge      float64 `json:"edge,omitempty"`
	EdgeLeast float64 `json:"edgeLeast,omitempty"`
	// Breaks says that steel or concrete breaks under the load as it acts, all
	// safety used up.
	Breaks bool `json:"breaks,omitempty"`
	// Unsaid says that a number of the anchors' maker is missing, which a refusal names.
	Unsaid bool `json:"-"`
}

// CarriageHold is how hard the anchors of a carriage are worked, and what works them
// hardest: Lift pulls the carriage up off the block, Push pushes its beam along the fence
// where Along is set, else sideways, N.
type CarriageHold struct {
	AnchorHold
	Lift  float64 `json:"lift"`
	Push  float64 `json:"push"`
	Along bool    `json:"along,omitempty"`
	// Travelled is how far the leaf has come then, mm from shut.
	Travelled float64 `json:"travelled"`
}

// WorstCarriage is the place in Carriages of the one whose anchors are worked hardest, or
// stand too near to an edge.
func (s *Strength) WorstCarriage() (worst int) {
	for i := range s.Carriages {
		if h, w := &s.Carriages[i], &s.Carriages[worst]; h.EdgeLeast > 0 || w.EdgeLeast == 0 && h.Use > w.Use {
			worst = i
		}
	}
	return worst
}

// AnchorDemand is what each anchor must hold, N: what it can hold says
// AnchorHold.
type AnchorDemand struct {
	Tension float64 `json:"tension"`
	Shear   float64 `json:"shear"`
}

// Refusal is something that could not be looked at, why, and which
// field or rule would help.
type Refusal struct {
	What  text.Name `json:"what"`
	Words text.Text `json:"words"`
	Field string    `json:"field,omitempty"`
	// Code and Severity are those of the check that says so, outside Strength.
	Code     Question `json:"code,omitempty"`
	Severity Severity `json:"severity,omitempty"`
}
