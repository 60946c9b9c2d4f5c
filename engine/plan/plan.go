package plan

import (
	"pegpour/engine/geom"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// Plan is what to build: the result of a design. Everything in it is in the
// frame that the engine's package comment lays down; the hand is only noted.
type Plan struct {
	// Opening is W, mm.
	Opening float64 `json:"opening"`
	// Hand and SeenFrom mirror drawings and words and nothing else.
	Hand     string `json:"hand"`
	SeenFrom string `json:"seenFrom"`

	Assumed  []survey.Assumption `json:"assumed,omitempty"`
	Site     SiteOutline         `json:"site"`
	Outlines []Outline           `json:"outlines"`
	// Poured is everything poured in one level of outlines, united.
	Poured     []geom.Region   `json:"poured,omitempty"`
	Leaf       Leaf            `json:"leaf"`
	Track      Track           `json:"track"`
	Footing    *Footing        `json:"footing,omitempty"`
	Steel      Steel           `json:"steel"`
	Conduits   []Conduit       `json:"conduits,omitempty"`
	Pegs       []Peg           `json:"pegs,omitempty"`
	Diagonals  []Diagonal      `json:"diagonals,omitempty"`
	Dimensions []DimensionLine `json:"dimensions,omitempty"`
	Figures    []Figure        `json:"figures"`
	Quantities Quantities      `json:"quantities"`
	Checks     []Check         `json:"checks"`
	Cautions   []Caution       `json:"cautions,omitempty"`
	// Quiet are the answers that are not worth saying: all in order. No screen
	// or sheet shows them.
	Quiet []Answer `json:"-"`
	// Network is nil where no pegs were taped.
	Network *Network `json:"network,omitempty"`
	// Ground is nil while the ground is level or was not looked at.
	Ground *Ground `json:"ground,omitempty"`
	// Strength is the first pass over what concrete, post and anchors can bear.
	Strength *Strength `json:"strength,omitempty"`
	// Pair is what two leaves that meet are made of; nil where one leaf shuts the
	// opening. The rest of the plan is then of both sides together: outlines, pegs, sizes,
	// cuts, quantities and checks. What there is one of a side stands in [Plan.Sides].
	Pair *Pair `json:"pair,omitempty"`
	// Refused is what a formula would not take, so that no figure stands for it;
	// what is refused of Strength stands there.
	Refused []Refusal `json:"refused,omitempty"`
}

// SiteOutline is what stands there already, for the drawing.
type SiteOutline struct {
	PostLatch   geom.Polygon `json:"postLatch"`
	PostRunBack geom.Polygon `json:"postRunBack"`
	// Drive is the part of the driveway that the drawing shows.
	Drive   geom.Polygon `json:"drive"`
	Surface string       `json:"surface"`
	// RunBackEdge and LatchEdge are the driveway's edges as drawn.
	RunBackEdge []geom.Point `json:"runBackEdge"`
	LatchEdge   []geom.Point `json:"latchEdge"`
	// RunBackAngle is the voice of the run-back edge's angle: worked out where the
	// edge was taped by points, empty where it is square.
	RunBackAngle Voice `json:"runBackAngle,omitempty"`
	// CarriesTrack says that the surface takes the track as it is.
	CarriesTrack bool             `json:"carriesTrack"`
	Obstructions []ObstructionBox `json:"obstructions,omitempty"`
	// Room is the chainage where the run-back's room ends; RoomKnown says
	// whether it was measured.
	Room      float64 `json:"room"`
	RoomKnown bool    `json:"roomKnown"`
	// Depth is the offset where free ground ends.
	Depth      float64 `json:"depth"`
	DepthKnown bool    `json:"depthKnown"`
}

// ObstructionBox is an obstruction in the frame.
type ObstructionBox struct {
	Index int          `json:"index"`
	Kind  string       `json:"kind"`
	Name  string       `json:"name,omitempty"`
	Box   geom.Polygon `json:"box"`
	// Voice says whether place and size were taped, whether any of them was
	// assumed, or whether the tape network gave the outline.
	Voice Voice `json:"voice"`
}

// Leaf is the leaf, its travel and what carries it. Leaf coordinates start
// at the leaf's leading edge and run towards the run-back.
type Leaf struct {
	Frame     float64 `json:"frame"`     // length of the frame F, mm
	Height    float64 `json:"height"`    // mm
	Thickness float64 `json:"thickness"` // frame and cladding, mm
	ShutAt    float64 `json:"shutAt"`    // chainage of the leading edge when shut
	OpenAt    float64 `json:"openAt"`    // chainage of the leading edge when open
	Travel    float64 `json:"travel"`    // OpenAt − ShutAt
	Tail      float64 `json:"tail"`      // bottom rail past the frame, mm
	GuideRail float64 `json:"guideRail"` // whole length of the guide rail, mm
	RailOver  float64 `json:"railOver"`  // guide rail past the frame, mm
	Rack      float64 `json:"rack"`      // whole length of the rack, mm
	PinionAt  float64 `json:"pinionAt"`  // chainage; meaningless without a motor
	RollersAt float64 `json:"rollersAt"` // chainage of the middle of the rollers
	RearOpen  float64 `json:"rearOpen"`  // chainage of the hindmost part when open
	// Lost is how much of the opening the leaf cannot clear, mm.
	Lost float64 `json:"lost"`
	// ClearStraight is the clear opening for a vehicle going square to the
	// fence, ClearAlong for one going along the run-back edge of the drive, mm.
	ClearStraight float64 `json:"clearStraight"`
	ClearAlong    float64 `json:"clearAlong"`
	// Hanging is of a leaf that hangs free; nil where a track carries it.
	Hanging *Hanging `json:"hanging,omitempty"`
	// Panels are the leaf's panels, the one that leads first; one for a leaf
	// in one piece.
	Panels []Panel `json:"panels"`
	LeafBuild
}

// Track is the rail on the ground.
type Track struct {
	Offset float64 `json:"offset"` // of its middle, mm
	Start  float64 `json:"start"`  // chainage
	End    float64 `json:"end"`    // chainage
	// Lines are the tracks of all panels, the one next to the fence first.
	Lines []TrackLine `json:"lines"`
}

// Conduit is cast in before the pour.
type Conduit struct {
	For    text.Name    `json:"for"`
	Line   []geom.Point `json:"line"`
	Length float64      `json:"length"`
	// Deep is how far below the drive it crosses it, mm, where it runs in the ground behind
	// the leaves; Dig what is dug for it, mm³, 0 where it is bored. Both are 0 in concrete.
	Deep float64 `json:"deep,omitempty"`
	Dig  float64 `json:"dig,omitempty"`
}

// Peg is one point to set out, in walking order.
type Peg struct {
	Number   int       `json:"number"`
	Of       string    `json:"of"` // outline ID
	Name     text.Name `json:"name"`
	Chainage float64   `json:"chainage"`
	Offset   float64   `json:"offset"`
	// FromLatch and FromRunBack are the two tapes that fix the peg from the
	// back inner corners of the posts, mm.
	FromLatch   float64 `json:"fromLatch"`
	FromRunBack float64 `json:"fromRunBack"`
	// Level of the top of the concrete there, above the survey's datum, mm;
	// meaningless unless Levelled.
	Level    float64 `json:"level,omitempty"`
	Levelled bool    `json:"levelled,omitempty"`
}

// Diagonal is a distance between two pegs to check by.
type Diagonal struct {
	From   int     `json:"from"`
	To     int     `json:"to"`
	Length float64 `json:"length"`
}

// Voice says where a number comes from.
type Voice string

// The three voices of a number.
const (
	VoiceMeasured  Voice = "measured"
	VoiceAssumed   Voice = "assumed"
	VoiceWorkedOut Voice = "worked out"
)

// DimensionLine is one dimension of the plan drawing.
type DimensionLine struct {
	ID    string     `json:"id"`             // figure ID or survey path
	Path  string     `json:"path,omitempty"` // the field it shows, where it shows one
	From  geom.Point `json:"from"`
	To    geom.Point `json:"to"`
	Value float64    `json:"value"`
	Voice Voice      `json:"voice"`
	// OnlyAsked marks a size that is drawn only while its field is asked.
	OnlyAsked bool `json:"onlyAsked,omitempty"`
	// Unknown marks a size that was not measured and that nothing stands in
	// for: the line shows where the tape goes.
	Unknown bool `json:"unknown,omitempty"`
	// Detail marks a size that belongs to the enlarged view of pad and post.
	Detail bool `json:"detail,omitempty"`
	// Across is set when the dimension measures square to the fence.
	Across bool `json:"across,omitempty"`
}

// Figure is one number worked out, with its reason.
type Figure struct {
	ID        string         `json:"id"`
	Name      text.Name      `json:"name"`
	Dimension text.Dimension `json:"dimension"`
	Value     float64        `json:"value"`
	// Before is the name where Value is a stretch that lies before the run-back
	// post, negative; Told gives it with the stretch itself.
	Before text.Name `json:"-"`
	// How is the formula with the numbers in it.
	How text.Text `json:"how"`
	// Rules are the keys of practice used, Fields the survey's paths.
	Rules  []string `json:"rules,omitempty"`
	Fields []string `json:"fields,omitempty"`
	Source string   `json:"source"`
	// Assumed is set when any of Fields was not measured.
	Assumed bool `json:"assumed,omitempty"`
	// FirstPass is set where local codes and a licensed engineer decide; screens
	// and sheets say so at the figure.
	FirstPass bool `json:"firstPass,omitempty"`
}

// Told is a figure's name and value as people read them: a stretch before the
// run-back post is said so, with no minus.
func (f *Figure) Told() (text.Name, text.Arg) {
	if f.Before != "" && f.Value < 0 {
		return f.Before, text.Arg{Value: -f.Value, Dimension: f.Dimension}
	}
	return f.Name, text.Arg{Value: f.Value, Dimension: f.Dimension}
}

// Figure returns the figure of an ID.
func (p *Plan) Figure(id string) (Figure, bool) {
	for i := range p.Figures {
		if p.Figures[i].ID == id {
			return p.Figures[i], true
		}
	}
	return Figure{}, false
}

// Mirrored reports whether drawings show the run-back to the left. Plans are
// drawn with the street at the bottom, as one stands when looking in from it.
func (p *Plan) Mirrored() bool {
	return (p.Hand == survey.HandLeft) != (p.SeenFrom == survey.SeenFromInside)
}

// Unjudged reports whether something that a question asks of could not be worked
// out.
func (p *Plan) Unjudged(question Question) bool {
	for i := range p.Refused {
		if p.Refused[i].Code == question {
			return true
		}
	}
	return false
}

// Severity is how much an answer concerns who builds.
type Severity string

// Severities in the order of concern.
const (
	Stop    Severity = "stop"  // do not build it like this
	Warning Severity = "mind"  // know this before building
	Sound   Severity = "sound" // looked at and found in order
)

// Check is one thing that was looked at.
type Check struct {
	Question Question  `json:"-"`
	Code     string    `json:"code"` // of this answer to the question
	Severity Severity  `json:"severity"`
	What     text.Text `json:"what"`
	// Consequence says what happens if it is ignored.
	Consequence text.Text `json:"consequence,omitzero"`
	// Where lists outline IDs; At is the place on the drawing.
	Where []string   `json:"where,omitempty"`
	At    geom.Point `json:"at"`
	// Field is the survey path or "practice." key at which the words stand.
	Field string `json:"field,omitempty"`
	// Margin to spare (negative: short by), where HasMargin.
	Margin    float64        `json:"margin"`
	MarginOf  text.Dimension `json:"marginOf,omitempty"`
	HasMargin bool           `json:"hasMargin,omitempty"`
	Remedies  []Remedy       `json:"remedies,omitempty"`
}

// Answer is a check without its words: of a question whose answer is not worth
// saying.
type Answer struct {
	Question  Question
	Field     string
	Severity  Severity
	Margin    float64
	MarginOf  text.Dimension
	HasMargin bool
}

// Answer is the check without its words.
func (c *Check) Answer() Answer {
	return Answer{c.Question, c.Field, c.Severity, c.Margin, c.MarginOf, c.HasMargin}
}

// Remedy is a change after which a check should find all in order. It is not
// tried yet: the room of advice designs with it.
type Remedy struct {
	Words   text.Text `json:"words"`
	Changes []Change  `json:"changes,omitempty"`
}

// Change sets one survey field or one rule ("practice." and its key).
type Change struct {
	Path  string  `json:"path"`
	Value float64 `json:"value"`
	Words string  `json:"words,omitempty"`
}

// Caution stands where the work can hurt someone.
type Caution struct {
	Code  string    `json:"code"`
	Words text.Text `json:"words"`
	Where []string  `json:"where,omitempty"`
}

// Quantities is what to buy, dig and pour.
type Quantities struct {
	Parts []PartQuantity `json:"parts"`
	// Concrete is the sum of the parts, Order adds the waste, mm³.
	Concrete float64 `json:"concrete"`
	Order    float64 `json:"order"`
	Area     float64 `json:"area"` // of the union of all concrete in plan, mm²
	Bags     int     `json:"bags"`
	Batches  int     `json:"batches"`
	// ReadyMix is set when the order reaches the ready-mix minimum.
	ReadyMix bool    `json:"readyMix"`
	Tinted   float64 `json:"tinted"` // mm³ of the order that is tinted
	DigBank  float64 `json:"digBank"`
	DigLoose float64 `json:"digLoose"`
	// SpoilMass is what the loose spoil weighs at most, kg, and Loads the trailer
	// loads it takes by volume and by payload.
	SpoilMass    float64    `json:"spoilMass"`
	Loads        int        `json:"loads"`
	Form         float64    `json:"form"` // edge form, mm
	Mesh         float64    `json:"mesh"` // trench mesh in place, mm
	MeshSheets   int        `json:"meshSheets"`
	SawCut       float64    `json:"sawCut"`
	PaversLifted float64    `json:"paversLifted"` // mm²
	Track        float64    `json:"track"`
	Fixings      int        `json:"fixings"`
	Anchors      int        `json:"anchors"`
	Conduit      float64    `json:"conduit"`
	Lines        []CostLine `json:"lines"`
	// Cost is the sum of the priced lines; Unpriced names the others.
	Cost     float64     `json:"cost"`
	Unpriced []text.Name `json:"unpriced,omitempty"`
}

// PartQuantity is one part's own concrete, without what another part has.
type PartQuantity struct {
	ID     string    `json:"id"`
	Name   text.Name `json:"name"`
	Area   float64   `json:"area"`   // mm² not shared with a part before it
	Depth  float64   `json:"depth"`  // mm of concrete
	Volume float64   `json:"volume"` // mm³
	How    text.Text `json:"how"`
}

// CostLine is one line of the price basis.
type CostLine struct {
	Key    string         `json:"key"` // the rate's rule
	Name   text.Name      `json:"name"`
	Amount float64        `json:"amount"`
	Of     text.Dimension `json:"of"`
	Per    float64        `json:"per"` // size of one unit in Of
	Rate   float64        `json:"rate"`
	Cost   float64        `json:"cost"`
}
