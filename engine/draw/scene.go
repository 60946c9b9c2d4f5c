package draw

import (
	"math"

	"pegpour/engine/refusal"
)

// Point is a place in the model (mm, x right, y up) or on a sheet (view
// units, x right, y down); the field that holds it says which.
type Point struct{ X, Y float64 }

// Pt is shorthand for Point{X: x, Y: y}.
func Pt(x, y float64) Point { return Point{x, y} }

// Ring is a closed outline; the last point is joined to the first and need not
// repeat it. Either direction of turning is fine.
type Ring []Point

// RectRing returns the ring of the rectangle between two opposite corners.
func RectRing(x1, y1, x2, y2 float64) Ring {
	return Ring{{x1, y1}, {x2, y1}, {x2, y2}, {x1, y2}}
}

// Role says what a line or area is. It decides weight and dash, and the class
// name that a theme colours; it never is a colour itself.
type Role uint8

// The roles. Weights are those of [Role.Weight].
const (
	RoleOutline     Role = iota // visible edge of what is built; medium, solid
	RoleCut                     // edge of something cut by the section; wide, solid
	RoleThin                    // secondary edge, marking; narrow, solid
	RoleHidden                  // edge under or behind something; narrow, short dashes
	RoleCentre                  // centre line, track line; narrow, long dash and dot
	RoleExisting                // what stands there already (posts, driveway); medium, solid, greyed
	RoleBoundary                // fence line, title boundary; narrow, long dash, two dots
	RoleGround                  // natural ground; medium, solid
	RoleObstruction             // tree, pit, service: keep clear; medium, dashed
	RoleGate                    // the moving leaf; wide, solid
	RoleMotion                  // swept outline, other position of what moves; narrow, dash and two dots
	RoleSteel                   // reinforcement, steel member; medium, solid
	RoleWater                   // water, drains; narrow, solid
	RoleNote                    // text and marks without a voice; narrow, solid
	RoleGrid                    // grid; narrow, pale
	RoleTape                    // where the tape goes: the reading being asked; medium, solid
	roleCount
)

// Voice says where a number comes from. See the three voices of a number.
type Voice uint8

// The voices.
const (
	VoicePlain     Voice = iota // no number, or one whose origin is not the point
	VoiceMeasured               // upright, solid, plum
	VoiceAssumed                // slanted, dashed, slate, '~' before the text
	VoiceWorkedOut              // upright, solid, ink
	voiceCount
)

// Hatch is the filling of an area.
type Hatch uint8

// The hatches.
const (
	HatchNone     Hatch = iota // outline only
	HatchPaper                 // filled with the ground of the sheet: hides what lies below
	HatchConcrete              // speckle
	HatchEarth                 // groups of slanting strokes
	HatchGravel                // rings
	HatchSteel                 // close slanting lines
	HatchWater                 // waves
	HatchPavers                // bonded rectangles
	HatchBitumen               // close slanting lines crossed by a second set
	HatchTint                  // plain pale fill
	hatchCount
)

// Tag is what every element carries.
type Tag struct {
	// ID names the element within its scene, stable from one drawing of the
	// same design to the next ("outline.pad", "dim.opening"). It becomes
	// data-id in SVG. Must not be empty; two elements may share one (they are
	// then highlighted together).
	ID string
	// Layer is the plain word of the layer ("concrete", "steel", "pegs").
	// Empty belongs to no layer and is always drawn.
	Layer string
	// Field is the path of the survey field whose figure this is
	// ("opening.width"); it becomes data-field, so that a tap finds the field
	// and the field being edited can be highlighted. Usually empty.
	Field string
	// Role of the lines.
	Role Role
	// Material of a body of a picture; edges then have its colour, not the role's.
	Material Material
	// Voice of the figure, for dimensions and level marks; lines and areas
	// may carry one too (an assumed outline is dashed).
	Voice Voice
	// Context marks surroundings: they are drawn, but dimension rows are not
	// pushed outside them and dimension lines may cross them. Texts still
	// keep clear of them.
	Context bool
}

// Element is one thing in a scene: one of the types of this package that embed
// [Tag].
type Element interface {
	tag() Tag
	// cover grows box over the model points of the element.
	cover(box *Box)
	// check reports the first bad figure by name.
	check() (field string, bad bool)
}

// Line is a straight line.
type Line struct {
	Tag
	From, To Point
}

// Polyline is a broken line, closed on request. At least two points.
type Polyline struct {
	Tag
	Points []Point
	Closed bool
}

// Circle is a round outline (post, hole, tank), possibly hatched. Radius in
// model mm, > 0.
type Circle struct {
	Tag
	Centre Point
	Radius float64
	Hatch  Hatch
}

// Arc is part of a circle from angle Start counter-clockwise by Sweep, both
// rad in the model frame. Radius in model mm, > 0.
type Arc struct {
	Tag
	Centre       Point
	Radius       float64
	Start, Sweep float64
}

// Region is an area with holes, hatched. Several parts are several Regions.
type Region struct {
	Tag
	Outer Ring
	Holes []Ring
	Hatch Hatch
	// Light fills the area with the colour of its material in that light, under the
	// hatch.
	Light Light
	// Open leaves the edge undrawn (a hatch only).
	Open bool
}

// Direction says which length a Dimension gives.
type Direction uint8

// The directions.
const (
	Aligned    Direction = iota // the straight distance between the points
	Horizontal                  // the difference in x
	Vertical                    // the difference in y
)

// Side is a preference for where a dimension line goes, in model terms: Left
// is towards smaller x and swaps by itself when the view is mirrored.
type Side uint8

// The sides.
const (
	SideAuto Side = iota // the nearer side
	Above
	Below
	Left
	Right
)

// Placing says how far a dimension line may go.
type Placing uint8

// The placings.
const (
	// Stacked puts the line outside the whole drawing in rows (horizontal) or
	// columns (vertical), shorter ones nearer. A slanting dimension is always
	// placed Close.
	Stacked Placing = iota
	// Close puts the line at the first free place beside its own two points.
	Close
	// Through draws the line straight from point to point, as a tape lies;
	// it may cross outlines, its text does not.
	Through
)

// Dimension is a length between two model points.
type Dimension struct {
	Tag
	From, To  Point
	Direction Direction
	Side      Side
	Placing   Placing
	// Text is the figure as it shall read ("3204"); the '~' of an assumed one
	// is added here, not by the caller.
	Text string
}

// AngleDimension is the angle at Vertex from the ray through From to the ray
// through To, the shorter way round.
type AngleDimension struct {
	Tag
	Vertex, From, To Point
	Text             string
}

// RadiusDimension points from Centre to a place OnArc and reads R + Text.
type RadiusDimension struct {
	Tag
	Centre, OnArc Point
	Text          string
}

// Leader is a note with an arrow to a place. The text is put where there is
// room, on the preferred side if that can be.
type Leader struct {
	Tag
	At   Point
	Side Side
	Text string
}

// LevelMark gives a level: in sections and elevations a triangle standing on
// the level with the figure on a short line, in plans (InPlan) a small cross
// with the figure beside it.
type LevelMark struct {
	Tag
	At     Point
	InPlan bool
	Text   string
}

// Text is a label at a place. Unless Fixed it is moved aside, or out on a
// leader, when something lies there.
type Text struct {
	Tag
	At    Point
	Text  string
	Fixed bool
	// Large makes it 1.25 times the text height.
	Large bool
}

// Peg is a numbered set-out mark.
type Peg struct {
	Tag
	At     Point
	Number int
	// Done draws it filled.
	Done bool
}

// HandArrow shows which way something moves: an arrow in the model with a
// text beside it (the text may be empty).
type HandArrow struct {
	Tag
	From, To Point
	Text     string
}

// NorthArrow is placed by the layout below the drawing. Angle is the direction
// of north in the model, rad counter-clockwise from x.
type NorthArrow struct {
	Tag
	Angle float64
}

// ScaleBar is placed by the layout below the drawing, of a round length.
type ScaleBar struct {
	Tag
	// Feet divides the bar in feet; otherwise in metres (or mm when short).
	Feet bool
}

// Grid is a pale square grid under the drawing, Step in model mm, > 0.
type Grid struct {
	Tag
	Step float64
}

// Scene is a drawing before it has a size.
type Scene struct {
	// Title is the short name of the drawing, spoken first.
	Title string
	// Desc is the spoken summary made from the plan: what there is and the
	// figures that matter, for those who cannot see the drawing.
	Desc string
	// Elements in the order they are drawn. Texts and dimensions are drawn
	// after all shapes in any case.
	Elements []Element
}

// Add appends elements.
func (s *Scene) Add(elements ...Element) { s.Elements = append(s.Elements, elements...) }

// Bounds returns the box around all model points, dimension lines and texts
// not counted (they have no place before Layout). It is empty for a scene
// without points.
func (s *Scene) Bounds() Box {
	box := EmptyBox()
	for _, e := range s.Elements {
		e.cover(&box)
	}
	return box
}

// Layers lists the layers in order of first appearance.
func (s *Scene) Layers() []string {
	var out []string
next:
	for _, e := range s.Elements {
		name := e.tag().Layer
		if name == "" {
			continue
		}
		for _, have := range out {
			if have == name {
				continue next
			}
		}
		out = append(out, name)
	}
	return out
}

// ErrElement is what [ElementError] wraps.
var ErrElement = error(refusal.Error("bad drawing element"))

// ElementError says which element cannot be drawn and why.
type ElementError struct {
	Index   int    // place in Scene.Elements
	ID      string // its ID, possibly empty
	Field   string // the figure at fault, "From.X"
	Allowed string // what is allowed
}

func (e *ElementError) Error() string { return e.Refusal().String() }

// Refusal is the sentence with its values.
func (e *ElementError) Refusal() refusal.Message {
	return refusal.Say("drawing element {0} ({1}): {2} must be {3}", refusal.Count(e.Index+1), refusal.Typed(e.ID),
		refusal.Typed(e.Field), refusal.Name(e.Allowed))
}

// Unwrap lets errors.Is find ErrElement.
func (e *ElementError) Unwrap() error { return ErrElement }

// modelLimit is the largest coordinate that is taken, 10 km: anything beyond
// it is a slip of the keys, and would spoil the precision of what is drawn.
const modelLimit = 1e7

// Validate reports the first element that cannot be drawn, as an
// [*ElementError]: no ID, a coordinate that is not a number or beyond 10 km, a
// radius or step that is not positive, an outline with too few points.
func (s *Scene) Validate() error {
	for i, e := range s.Elements {
		if e == nil {
			return &ElementError{i, "", "element", "one of the element types, not nil"}
		}
		t := e.tag()
		if t.ID == "" {
			return &ElementError{i, "", "ID", "a name, not empty"}
		}
		if t.Role >= roleCount {
			return &ElementError{i, t.ID, "Role", "one of the named roles"}
		}
		if t.Voice >= voiceCount {
			return &ElementError{i, t.ID, "Voice", "one of the named voices"}
		}
		if field, bad := e.check(); bad {
			return &ElementError{i, t.ID, field, "a number within ±10 km (sizes above 0, outlines of enough points)"}
		}
	}
	return nil
}

func finite(v float64) bool { return v >= -modelLimit && v <= modelLimit && !math.IsNaN(v) }

func badPoint(p Point) bool { return !finite(p.X) || !finite(p.Y) }
