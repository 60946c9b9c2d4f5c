package stages

import (
	"cmp"
	"math"

	"pegpour/engine/motion"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/refusal"
	"pegpour/engine/steel"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/engine/wind"
)

// frameCase is what the wind asks of the leaf's frame in one state, N·mm.
type frameCase struct {
	// Caught at both places, each rail is a beam of its own; else the bottom rail
	// takes all and both rails are twisted.
	caught             bool
	top, bottom, twist float64
	end, inner         float64 // of the leading or trailing stile that a catch holds, of a stile between the rails
}

// leastApart is between two supports of a girder, mm.
const leastApart = 20

// frameLoads are all states, and the bottom rail under the leaf's own weight.
type frameLoads struct {
	cases    [2]frameCase // shut; open and left
	own, sag float64      // N·mm; mm for each 1/(E·I) in N·mm²
	between  float64      // mm between the wheels
	beam     *plan.Beam   // of a leaf that hangs free
}

const errMakersBeam = refusal.Error("the maker's numbers of the beam say nothing of loads from the side")

// LoadFrame finds the moments in the leaf's frame. The infill hands the wind to
// stiles and rails evenly. Where a catch and the rollers hold the top, half of it
// goes to the top rail, which spans between them, and half to the bottom rail
// between the wheels; the catch sits lower than the rail, on a stile that reaches
// up past it. Where rollers alone hold the top, the stiles stand on the bottom
// rail, which takes all of the wind between the wheels, and the twist of the
// longer side is held back at the rollers.
//
//	q = F/(L·H);  twist = q·H·max(a, L − a)·z;  inner stile: q·bay·H²/8, or q·bay·H²/2 standing on the rail
//	end stile: R·(H − h) + q·bay/2·(H − h)²/2
//
// with a of the rollers and R the catch's part of the top rail, z the middle of
// the leaf over the wheels' line, h the height of the catch. Panels of a stack are one beam when shut,
// as they are for the supports. Source: statics; the rails by steel.Girder.
func LoadFrame(in *Inputs, p *practice.Practice, l *Placement, leaf *plan.Leaf, g *plan.GuideStrength) (f frameLoads,
	err error) {
	last, mass := &leaf.Panels[len(leaf.Panels)-1], 0.0
	for i := range leaf.Panels {
		mass = max(mass, leaf.Panels[i].Mass)
	}
	high, bay := leaf.Height, leaf.Frame/float64(max(1, leaf.Bays))
	over := max(0, p.LeafAbove+high-p.HandHeight)
	girder := func(length, load float64, at ...float64) steel.GirderResult {
		b := steel.Girder{Length: length, Elasticity: 1e6, Inertia: 1e6, Uniform: load}
		for _, x := range at {
			if x < 10 {
				x = 0
			} else if x > length-10 {
				x = length
			}
			b.Supports = append(b.Supports, steel.Support{At: x})
		}
		r, e := b.Under(nil, nil)
		err = cmp.Or(err, e)
		if e != nil {
			r.Reactions = []float64{0, 0}
		}
		return r
	}
	worst := func(r steel.GirderResult) float64 { return max(r.Sagging, r.Hogging) }
	state := func(force, length, from, rollers, catch float64, caught bool) frameCase {
		q := force / (length * high)
		wheels := wheelsOf(&wind.Leaf{Length: length}, l)
		if h := leaf.Hanging; h != nil { // what reaches past the frame is held at its end
			wheels, _ = carriagesOf(in, h, from, catch == 0)
			wheels[1] = min(wheels[1], length)
			wheels[0] = min(wheels[0], wheels[1]-leastApart)
		}
		c := frameCase{caught: caught, inner: q * bay * high * high / 8}
		if !caught {
			a := min(length, max(0, rollers))
			c.bottom = worst(girder(length, q*high, wheels[:]...))
			c.twist = q * high * max(a, length-a) * (p.LeafAbove + high/2)
			c.inner *= 4
			return c
		}
		near, far := rollers, catch
		if near > far {
			near, far = far, near
		}
		top := girder(length, q*high/2, near, far)
		held := top.Reactions[0]
		if catch > rollers {
			held = top.Reactions[1]
		}
		c.top, c.bottom = worst(top), worst(girder(length, q*high/2, wheels[:]...))
		c.end = math.Abs(held)*over + q*bay/2*over*over/2
		return c
	}
	f.cases[0] = state(g.Force, last.ShutAt+leaf.Frame-leaf.ShutAt, leaf.ShutAt,
		leaf.RollersAt-leaf.ShutAt, 0, in.LatchStop)
	f.cases[1] = state(g.OpenForce, leaf.Frame, leaf.OpenAt, leaf.RollersAt-leaf.OpenAt, leaf.Frame, in.OpenCatch)
	if h := leaf.Hanging; h != nil { // its nose has a check of its own
		f.own, f.beam = h.Moment, &h.Beam
		return f, err
	}
	wheels := wheelsOf(&wind.Leaf{Length: leaf.Frame}, l)
	own := girder(leaf.Frame, mass*motion.Gravity/leaf.Frame, wheels[:]...)
	f.own, f.sag, f.between = worst(own), own.Down*1e12, wheels[1]-wheels[0]
	return f, err
}

// use is how hard the frame of the sections in a practice is worked, and how far its bottom
// rail sags under the leaf's weight. Bending of both axes is added, twist by von Mises:
//
//	use = √((M_wind/W_s + M_own/W_v)² + 3·(T·I_t,i/ΣI_t/W_t,i)²)/(f_y/safety)
//
// The rails share the twist as they are stiff, since stiles turn both alike. What
// the infill and the guide rail add is left out. Source: statics and von Mises.
func (f *frameLoads) use(aluminium bool, p *practice.Practice) (u plan.LeafFrame, err error) {
	rail, err1 := steel.Hollow(p.RailHeight, p.LeafThickness, p.FrameWall)
	bottom, err2 := steel.Hollow(p.BottomRail, p.LeafThickness, p.FrameWall)
	if f.beam != nil {
		if f.beam.ByMaker {
			return u, errMakersBeam
		}
		bottom, err2 = steel.Hollow(p.HangBeamHeight, p.HangBeamWidth, p.HangBeamWall)
	}
	if err = cmp.Or(err1, err2); err != nil {
		return u, err
	}
	may, elasticity := p.PostYield/p.SteelSafety, float64(steel.LowElasticity)
	if aluminium {
		may, elasticity = p.AluminiumYield/p.SteelSafety, steel.AluminiumElasticity
	}
	it1, wt1, err1 := rail.Torsion()
	it2, wt2, err2 := bottom.Torsion()
	if err = cmp.Or(err1, err2); err != nil {
		return u, err
	}
	u.Rail, u.Bottom = text.Name(rail.Name), text.Name(bottom.Name)
	u.Sag, u.SagMost = f.sag/(elasticity*bottom.InertiaVertical), f.between/p.FrameSagOver
	for i := range f.cases {
		c := &f.cases[i]
		stress := func(bending, share, modulus float64) float64 {
			return math.Hypot(bending, math.Sqrt(3)*c.twist*share/modulus) / may
		}
		share := it2 / (it1 + it2)
		top, inner := stress(c.top/rail.ModulusSideways, 1-share, wt1), c.inner
		if !c.caught {
			inner *= max(share, 1-share)
		}
		u.TopUse = max(u.TopUse, top)
		stile := max(c.end, inner) / rail.ModulusSideways / may
		u.StileUse = max(u.StileUse, stile)
		low := stress(c.bottom/bottom.ModulusSideways+f.own/bottom.ModulusVertical, share, wt2)
		u.BottomUse = max(u.BottomUse, low)
		if worst := max(top, max(stile, low)); worst > u.Use {
			u.Use, u.Open, u.Loose = worst, i == 1, !c.caught
		}
	}
	return u, nil
}

// frameWalls are tried for the frame, mm: what is sold and can be welded.
var frameWalls = [...]float64{3, 4, 5, 6}

// StrongerFrame finds the thinnest leaf, and then the thinnest wall, that bears
// what a frame is asked for; false where none of those that are sold does.
func (f *frameLoads) StrongerFrame(aluminium bool, p *practice.Practice) (thick, wall float64, found bool) {
	try := func(q practice.Practice, size float64) bool {
		for _, w := range frameWalls {
			q.LeafThickness, q.FrameWall = size, max(w, p.FrameWall)
			if u, err := f.use(aluminium, &q); err == nil && u.Use <= 1 {
				thick, wall = q.LeafThickness, q.FrameWall
				return true
			}
		}
		return false
	}
	if try(*p, p.LeafThickness) {
		return thick, wall, true
	}
	for _, size := range steel.SquareSizes {
		if size > p.LeafThickness && size <= practice.MostOf(practice.RuleLeafThickness) && try(*p, size) {
			return thick, wall, true
		}
	}
	return 0, 0, false
}

// FrameOf looks at the leaf's frame in the wind of the site and under its weight.
func FrameOf(in *Inputs, p *practice.Practice, l *Placement, leaf *plan.Leaf, g *plan.GuideStrength) (*plan.LeafFrame,
	[]plan.Refusal) {
	if g == nil {
		return nil, nil
	}
	loads, err := LoadFrame(in, p, l, leaf, g)
	u, err2 := loads.use(in.Metal == survey.MetalAluminium, p)
	if err = cmp.Or(err, err2); err != nil {
		field := practice.PracticePath + practice.RuleFrameWall
		if in.Beam.ByMaker {
			field = survey.GateHangingBeamMass
		}
		return nil, notLookedAt("The leaf's frame", err, field)
	}
	return &u, nil
}
