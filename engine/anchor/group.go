package anchor

import (
	"math"

	"pegpour/engine/refusal"
	"pegpour/engine/steel"
)

// ArgumentError says which value was refused, what was given and what is
// allowed.
type ArgumentError = refusal.ArgumentError

// Kind says how an anchor holds. The zero Kind is refused.
type Kind int

// The kinds of anchors.
const (
	// Headed anchors are cast in and hold by a head, or by a nut and washer.
	Headed Kind = iota + 1
	// Hooked anchors are J or L bars that are cast in.
	Hooked
	// Bonded anchors are rods in drilled holes filled with resin or mortar.
	Bonded
	// Expanding anchors are expansion, undercut and screw anchors.
	Expanding
)

func (k Kind) castIn() bool { return k == Headed || k == Hooked }

// NoEdge is the distance to give where the concrete goes on, mm.
const NoEdge = 1e5

// EdgeArgument is the argument of an ArgumentError of anchors too near to an edge.
const EdgeArgument = "anchor's distance to the edge"

// MaxAnchors is the most anchors of a Group.
const MaxAnchors = 24

// StrengthFactor is the load factor that turns the source's strength design
// into loads as they act.
//
//	γ = 1/0.6
//
// Source: ASCE 7-16, 2.4.1: wind of strength level counts 0.6 beside loads as
// they act; live load's 1.6 is less (both memory).
const StrengthFactor = 1 / 0.6

// Group is the anchors of one plate, all of one kind and size, with the
// concrete around them. Places are seen from above, from the point that the
// edges are measured from, mostly the plate's middle.
type Group struct {
	Kind       Kind
	Places     []steel.Anchor // 1 to MaxAnchors
	Diameter   float64        // mm, 5 to 60
	StressArea float64        // mm² of the thread, 10 to 3000
	// Depth is the effective depth, mm, 40 to 635: to the head's upper side, the
	// inside of the hook, or the end of a bonded rod.
	Depth    float64
	Yield    float64 // MPa, 200 to 1100
	Ultimate float64 // MPa, from Yield to 1400; counts to 1.9·Yield and 860
	Brittle  bool    // less than 14 % strain or 30 % necking when it breaks

	HeadArea   float64 // mm² of the head outside the shaft that presses; Headed only
	HookLength float64 // mm, inside of the shaft to the hook's tip; Hooked only, 3 to 4.5 diameters
	// BondStress and BondUncracked are the maker's characteristic bond in cracked
	// and uncracked concrete, MPa; both 0 takes the source's least, LeastBond.
	BondStress, BondUncracked float64
	// PullOut is the maker's characteristic pull-out in cracked concrete, N.
	// Expanding anchors need it; of the others it is a further limit, 0 for none.
	PullOut float64
	// Category is how sure an anchor put in later is to be put in well, by its
	// maker's approval: 1 is best, 3 worst, 0 not known, taken as 3.
	Category int
	// LeastSpacing and LeastEdge are the maker's for these anchors, mm; 0 takes the
	// source's 6 diameters, 10 to an edge for Expanding. Nearer ones split the
	// concrete, for which there is no formula.
	LeastSpacing, LeastEdge float64
	// Sustained says that tension lasts: bonded anchors creep.
	Sustained bool
	Grouted   bool // a bed of grout under the plate

	Strength  float64 // MPa, cylinder strength of the concrete, 12 to 100
	Thickness float64 // mm of the concrete, 60 to 5000
	// Left, Right, Front and Back are the distances from the origin to the
	// concrete's edges towards −x, +x, −y and +y, mm, to NoEdge.
	Left, Right, Front, Back float64
	// LoadFactor is the one factor on all loads that Allowable is divided by, 1
	// to 5; StrengthFactor where nothing else is asked.
	LoadFactor float64
}

// pitches are those of metric coarse threads, mm by diameter.
var pitches = map[float64]float64{6: 1, 8: 1.25, 10: 1.5, 12: 1.75, 14: 2, 16: 2, 20: 2.5, 24: 3, 30: 3.5}

// MetricThread returns the stress area (mm²) of a metric coarse thread of a
// diameter of 6 to 30 mm; false where there is none of that diameter.
//
//	A_s = π/4·(d − 0.9382p)²
//
// Source: EN ISO 898-1 (areas read, formula memory). Checked:
// testdata/references/anchor.json, iso898-*.
func MetricThread(diameter float64) (area float64, ok bool) {
	pitch, ok := pitches[diameter]
	if !ok {
		return 0, false
	}
	core := diameter - 0.9382*pitch
	return math.Pi / 4 * core * core, true
}

// Thread returns the metric thread of 6 to 30 mm whose stress area (mm²) is the
// next below an area, within a hundredth; 0 where there is none.
func Thread(area float64) (diameter float64) {
	for d := 6.0; d <= 30; d++ {
		if a, ok := MetricThread(d); ok && a <= 1.01*area {
			diameter = d
		}
	}
	return diameter
}

// NutArea returns what a hexagon nut of a thread presses on around the shaft, mm².
//
//	A = √3/2·(1.5d)² − π/4·d²
//
// Source: ISO 4032, width across flats 1.5 d or just over (memory).
func NutArea(diameter float64) float64 {
	return (math.Sqrt(3)/2*1.5*1.5 - math.Pi/4) * diameter * diameter
}

// Rectangle places one anchor, a pair or four about the origin: spacings along
// x and y in mm, 0 for one row.
func Rectangle(alongX, alongY float64) []steel.Anchor {
	xs, ys := pair(alongX), pair(alongY)
	var out []steel.Anchor
	for _, y := range ys {
		for _, x := range xs {
			out = append(out, steel.Anchor{X: x, Y: y})
		}
	}
	return out
}

func pair(spacing float64) []float64 {
	if spacing == 0 {
		return []float64{0}
	}
	return []float64{-spacing / 2, spacing / 2}
}

// MakerError refuses anchors whose strength only their maker's approval gives.
type MakerError struct {
	Needs string // what the approval must say, in the trade's words
}

// Error is the refusal in one sentence.
func (e *MakerError) Error() string { return e.Refusal().String() }

// Refusal is the sentence with its values.
func (e *MakerError) Refusal() refusal.Message {
	return refusal.Say("these anchors cannot be judged without their maker's number: {0}", refusal.Name(e.Needs))
}

// Least spacing and edge distance in diameters, without a maker's own.
//
// Source: ACI 318-19, 17.9.2: 6 for anchors that are torqued and for bonded
// ones, 8 and 10 to an edge for expansion anchors (read, in a design guide).
const (
	leastSpacing         = 6
	leastEdge            = 6
	leastEdgeOfExpanding = 10
)

func (g *Group) check() error {
	if err := refusal.First(
		refusal.Allow("kind of anchor", float64(g.Kind), float64(Headed), float64(Expanding), ""),
		refusal.Allow("number of anchors", float64(len(g.Places)), 1, MaxAnchors, ""),
		refusal.Allow("anchor diameter", g.Diameter, 5, 60, "mm"),
		refusal.Allow("anchor stress area", g.StressArea, 10, min(3000, 0.79*g.Diameter*g.Diameter), "mm²"),
		refusal.Allow("anchor depth", g.Depth, 40, 635, "mm"),
		refusal.Allow("yield strength", g.Yield, 200, 1100, "MPa"),
		refusal.Allow("tensile strength", g.Ultimate, g.Yield, 1400, "MPa"),
		refusal.Allow("maker's pull-out strength", g.PullOut, 0, 1e6, "N"),
		refusal.Allow("category of the anchor", float64(g.Category), 0, 3, ""),
		refusal.Allow("maker's least anchor distance", g.LeastSpacing, 0, 1e4, "mm"),
		refusal.Allow("maker's least distance to the edge", g.LeastEdge, 0, 1e4, "mm"),
		refusal.Allow("concrete strength", g.Strength, 12, 100, "MPa"),
		refusal.Allow("concrete thickness", g.Thickness, 60, 5000, "mm"),
		refusal.Allow("load factor", g.LoadFactor, 1, 5, ""),
	); err != nil {
		return err
	}
	if err := g.checkKind(); err != nil {
		return err
	}
	below := g.Diameter
	if !g.Kind.castIn() {
		below = 2 * g.Diameter
	}
	if g.Depth+below > g.Thickness {
		return &ArgumentError{Argument: "anchor depth", Given: g.Depth, Low: 40, High: g.Thickness - below, Unit: "mm",
			Detail: "the concrete is too thin for anchors of this depth"}
	}
	return g.checkPlaces()
}

func (g *Group) checkKind() error {
	switch g.Kind {
	case Headed:
		return refusal.First(refusal.Allow("area of the anchor's head", g.HeadArea, 0.5*g.StressArea, 20000, "mm²"))
	case Hooked:
		return refusal.First(refusal.Allow("hook length", g.HookLength, 3*g.Diameter, 4.5*g.Diameter, "mm"))
	case Expanding:
		if g.PullOut == 0 {
			return &MakerError{Needs: "characteristic pull-out strength in cracked concrete"}
		}
		return nil
	}
	if err := refusal.First(
		refusal.Allow("anchor depth", g.Depth, 4*g.Diameter, 20*g.Diameter, "mm"),
		refusal.Allow("bond strength", g.BondStress, 0, 30, "MPa"),
		refusal.Allow("bond strength in uncracked concrete", g.BondUncracked, g.BondStress, 40, "MPa"),
	); err != nil {
		return err
	}
	if (g.BondStress == 0) != (g.BondUncracked == 0) {
		return &MakerError{Needs: "characteristic bond strength in cracked and in uncracked concrete"}
	}
	if g.BondStress == 0 && g.Strength < leastBondConcrete {
		return &MakerError{Needs: "characteristic bond strength in concrete of less than 17 MPa"}
	}
	return nil
}

func (g *Group) checkPlaces() error {
	spacing, edge := leastSpacing*g.Diameter, leastEdge*g.Diameter
	if g.Kind == Expanding {
		edge = leastEdgeOfExpanding * g.Diameter
	}
	if g.LeastSpacing > 0 {
		spacing = g.LeastSpacing
	}
	if g.LeastEdge > 0 {
		edge = g.LeastEdge
	}
	for i, a := range g.Places {
		if err := refusal.First(
			refusal.Allow("anchor x", a.X, -1e4, 1e4, "mm"),
			refusal.Allow("anchor y", a.Y, -1e4, 1e4, "mm"),
		); err != nil {
			return err
		}
		for _, side := range sides {
			if err := refusal.First(refusal.Allow(EdgeArgument, side.distance(g, a), edge, 2*NoEdge, "mm")); err != nil {
				return err
			}
		}
		for _, other := range g.Places[:i] {
			if err := refusal.First(refusal.Allow("anchor distance", math.Hypot(a.X-other.X, a.Y-other.Y),
				spacing, 1e5, "mm")); err != nil {
				return err
			}
		}
	}
	return nil
}

// depth is the depth that counts: in thin concrete the back breaks out under
// anchors put in later.
//
//	h_ef ≤ max(2/3·h_a, h_a − 100 mm)
//
// Source: ACI 318-19, 17.9.4 (read): of expansion, undercut and screw anchors.
// Bonded ones without a maker's word are held to it too.
func (g *Group) depth() float64 {
	if g.Kind.castIn() {
		return g.Depth
	}
	return min(g.Depth, max(2*g.Thickness/3, g.Thickness-100))
}

// root is the root of the concrete's strength as far as it counts: 69 MPa for
// cast-in, 55 for other anchors. Source: ACI 318-19, 17.3.1 (read).
func (g *Group) root() float64 {
	if g.Kind.castIn() {
		return math.Sqrt(min(g.Strength, 69))
	}
	return math.Sqrt(min(g.Strength, 55))
}

// side is one edge of the concrete: the way to it and along it.
type side struct {
	name   string
	x, y   float64 // towards the edge
	of     func(*Group) float64
	before func(*Group) float64 // the side edge at the lower end of the way along
	behind func(*Group) float64 // and at the upper
}

var (
	left  = func(g *Group) float64 { return g.Left }
	right = func(g *Group) float64 { return g.Right }
	front = func(g *Group) float64 { return g.Front }
	back  = func(g *Group) float64 { return g.Back }
)

var sides = [4]side{
	{"left", -1, 0, left, front, back},
	{"right", 1, 0, right, front, back},
	{"front", 0, -1, front, left, right},
	{"back", 0, 1, back, left, right},
}

// distance is from an anchor to the edge.
func (s *side) distance(g *Group, a steel.Anchor) float64 { return s.of(g) - s.x*a.X - s.y*a.Y }

// along is an anchor's place along the edge.
func (s *side) along(a steel.Anchor) float64 { return math.Abs(s.y)*a.X + math.Abs(s.x)*a.Y }
