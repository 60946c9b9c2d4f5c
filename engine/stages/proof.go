package stages

import (
	"math"
	"slices"

	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// hair is below what any tool can cut, mm: margins of exactly nothing count as
// kept in spite of rounding.
const hair = 1e-6

// proofSteps is at how many places of its travel the leaf is looked at.
const proofSteps = 32

// mover holds what both proofs look at.
type mover struct {
	in    *Inputs
	p     *practice.Practice
	l     *Placement
	leaf  *plan.Leaf
	track *plan.Track
	room  float64 // chainage where it ends

	half  float64 // of the distance between the roller pairs
	shift float64 // of the pinion's contact along a sloping rack
	// fixed is what stands beside the leaf's way.
	fixed []obstacle
}

type obstacle struct {
	name   text.Name
	ring   geom.Polygon
	around geom.Rectangle
}

// meets reports whether the obstacle reaches into or touches a box.
func (o *obstacle) meets(b geom.Rectangle) bool {
	if o.around.X2 < b.X1 || o.around.X1 > b.X2 || o.around.Y2 < b.Y1 || o.around.Y1 > b.Y2 {
		return false
	}
	return geom.Distance(o.ring, b.Ring()) <= 0
}

// ProveMotion shows that the leaf can move from shut to open: by inequalities
// at the ends of the travel, where all of them are tightest, and by a sweep.
//
// On a grade all chainages stay what they are, since stiles are plumb; only the
// pinion, square to the rack, meets it r·sin θ up or down the hill.
func ProveMotion(in *Inputs, p *practice.Practice, l *Placement, leaf *plan.Leaf, track *plan.Track,
	site *plan.SiteOutline, parts []plan.Outline) (proof plan.MotionProof) {
	m := NewMover(in, p, l, leaf, track, site, parts)
	proof.Items = make([]plan.ProofItem, 0, 10)
	proof.Holders = make([]plan.Holder, 0, 6)
	for i := range leaf.Panels {
		m.inequalities(&proof, &leaf.Panels[i])
		m.holders(&proof, &leaf.Panels[i])
	}
	m.fewest(&proof)
	proof.Steps = proofSteps
	swept := m.Sweep(proofSteps)
	proof.Agrees = swept.Holders == min(proof.LeastHolders, 2)
	proof.Proven = proof.LeastHolders > 0
	for i := range proof.Items {
		item := &proof.Items[i]
		item.Swept = !swept.Failed[ItemKey{item.ID, item.Panel}]
		proof.Agrees = proof.Agrees && item.Swept == item.Holds
		proof.Proven = proof.Proven && item.Holds
	}
	return proof
}

// NewMover looks at a leaf on its track, past the obstructions of a site and
// the posts and the motor among parts.
func NewMover(in *Inputs, p *practice.Practice, l *Placement, leaf *plan.Leaf, track *plan.Track,
	site *plan.SiteOutline, parts []plan.Outline) mover {
	m := mover{in: in, p: p, l: l, leaf: leaf, track: track, room: site.Room, half: p.RollerSpacing / 2,
		shift: p.PinionRadius * math.Abs(math.Sin(leaf.Slope)), fixed: make([]obstacle, 0, len(site.Obstructions)+3)}
	add := func(name text.Name, ring geom.Polygon) {
		low, high := ring.Bounds()
		m.fixed = append(m.fixed, obstacle{name, ring, geom.RectangleOf(low.X, low.Y, high.X, high.Y)})
	}
	for i := range site.Obstructions {
		ob := &site.Obstructions[i]
		if ob.Kind == survey.ObstructionService { // in the ground
			continue
		}
		add(plan.NameOfObstruction(ob), ob.Box)
	}
	for i := range parts {
		switch o := &parts[i]; o.Kind {
		case plan.PartGuidePost, plan.PartMotor, plan.PartOutletPost:
			add(o.Name, o.Ring)
		}
	}
	return m
}

// rail is the length of a panel's guide rail, rack that of its rack along the
// fence; both start at the leading edge.
func (m *mover) rail(panel *plan.Panel) float64 { return m.leaf.Frame + panel.RailOver }

// carrier is where the rollers at the front of the next panel stand from its
// leading edge.
func (m *mover) carrier() float64 { return m.half + m.p.EngagementMargin }

func (m *mover) inequalities(proof *plan.MotionProof, panel *plan.Panel) {
	p, leaf, e := m.p, m.leaf, m.p.EngagementMargin
	shut, open := panel.ShutAt, leaf.OpenAt
	add := func(id string, margin float64, what text.Text) {
		proof.Items = append(proof.Items,
			plan.ProofItem{ID: id, Panel: panel.Number, What: what, Margin: margin, HasMargin: true, Holds: margin >= -hair})
	}
	if panel.Driven {
		margin := min(leaf.Rack-m.shift-(leaf.PinionAt-shut), leaf.PinionAt-open-m.shift)
		add("pinion", margin, text.Say("The pinion is on the rack from shut to open, {0} from its end at the nearest.",
			text.MM(margin)))
	}
	if panel.Number == m.l.Panels {
		margin := min(m.rail(panel)-(leaf.RollersAt+m.half-shut), leaf.RollersAt-m.half-open) - e
		add("rollers", margin, text.Say(
			"The guide rail is in both pairs of rollers from shut to open, {0} beyond the margin of {1}.", text.MM(margin),
			text.MM(e)))
	} else {
		step := leaf.Frame - p.PanelOverlap
		margin := min(m.rail(panel)-(step+m.carrier()+m.half), m.carrier()-m.half) - e
		add("carrier", margin, text.Say(
			"The guide rail is in the rollers of the next panel from shut to open, {0} beyond the margin of {1}.",
			text.MM(margin), text.MM(e)))
	}
	if h := leaf.Hanging; h != nil {
		margin := min(h.Front-open, shut+leaf.Frame+panel.Tail-h.Rear) - carriageReach(p)
		add("carriages", margin, text.Say("Both carriages are in the beam from shut to open, {0} beyond the margin of {1}.",
			text.MM(margin), text.MM(e)))
	} else {
		track := m.track.Lines[panel.Number-1]
		margin := min(shut+panel.Wheels[0].At-track.Start, track.End-(open+panel.Wheels[1].At))
		add("wheels", margin, text.Say("Both wheels are on the track from shut to open, {0} from its end at the nearest.",
			text.MM(margin)))
	}
	if m.in.RoomKnown {
		margin := m.room - panel.Rear(leaf, open)
		add("room", margin, text.Say("The open leaf ends {0} before the end of the room.", text.MM(margin)))
	}
	front, back := m.l.panelFaces(leaf, panel.Number-1)
	free := plan.ProofItem{ID: "free", Panel: panel.Number, Holds: true,
		What: text.Say("Nothing that was taped or is built stands where the leaf sweeps, over its whole depth and height.")}
	swept := geom.RectangleOf(shut, front, panel.Rear(leaf, open), back)
	for i := range m.fixed {
		if m.fixed[i].meets(swept) {
			free.Holds, free.What = false, text.Say("{0} stands in the way of the leaf.", text.Word(m.fixed[i].name))
			break
		}
	}
	proof.Items = append(proof.Items, free)
	if panel.Number == 1 {
		stop := func(id string, there bool, what text.Text) {
			proof.Items = append(proof.Items, plan.ProofItem{ID: id, Panel: 1, Holds: there, What: what})
		}
		if m.in.Meets {
			stop("stopShut", true, text.Say("A stop in the drive ends the way where the leaves meet."))
		} else {
			stop("stopShut", m.in.LatchStop, text.Say("A stop ends the way at the latch post."))
		}
		stop("stopOpen", m.in.HardStop, text.Say("A hard stop ends the way in the run-back."))
	}
}

// holders lists what holds a panel upright, each pair of rollers on its own.
func (m *mover) holders(proof *plan.MotionProof, panel *plan.Panel) {
	leaf, e := m.leaf, m.p.EngagementMargin
	shut, open := panel.ShutAt, leaf.OpenAt
	add := func(part string, from, to float64) {
		from, to = max(from, shut), min(to, open)
		if to >= from-hair {
			proof.Holders = append(proof.Holders, plan.Holder{Panel: panel.Number, Part: part, From: from, To: to})
		}
	}
	names := [2]string{"near rollers at the run-back post", "far rollers at the run-back post"}
	if panel.Number < m.l.Panels {
		names = [2]string{"near rollers of the next panel", "far rollers of the next panel"}
	}
	for k, side := range [2]float64{-m.half, m.half} {
		if k == 1 && m.half == 0 {
			break
		}
		if panel.Number == m.l.Panels {
			x := leaf.RollersAt + side
			add(names[k], x-m.rail(panel)+e, x-e)
			continue
		}
		// With s the leading edge of this panel and all arriving together, the
		// next one is (1 − t)·(F − o) behind, t the part of the way that is done.
		step := leaf.Frame - m.p.PanelOverlap
		u := m.carrier() + side
		from := shut
		if step > 0 {
			if t := 1 - (m.rail(panel)-e-u)/step; t > hair {
				from = shut + t*panel.Travel
			}
		}
		if u >= e-hair {
			add(names[k], from, open)
		}
	}
	if panel.Number == 1 && m.in.LatchStop {
		add("catch at the latch post", shut, shut+m.p.CatchDepth)
	}
}

// fewest finds the stretch where the fewest parts hold a panel upright.
func (m *mover) fewest(proof *plan.MotionProof) {
	proof.LeastHolders = math.MaxInt
	var ends []float64
	for i := range m.leaf.Panels {
		panel := &m.leaf.Panels[i]
		ends = append(ends[:0], panel.ShutAt, m.leaf.OpenAt)
		for _, h := range proof.Holders {
			if h.Panel == panel.Number {
				ends = append(ends, h.From, h.To)
			}
		}
		slices.Sort(ends)
		for k := 1; k < len(ends); k++ {
			if ends[k]-ends[k-1] <= hair {
				continue
			}
			mid, n := (ends[k]+ends[k-1])/2, 0
			for _, h := range proof.Holders {
				if h.Panel == panel.Number && h.From <= mid && mid <= h.To {
					n++
				}
			}
			if n < proof.LeastHolders {
				proof.LeastHolders, proof.FewFrom, proof.FewTo, proof.FewPanel = n, ends[k-1], ends[k], panel.Number
			}
		}
	}
	if proof.LeastHolders == math.MaxInt { // no travel at all
		proof.LeastHolders = 0
	}
}

type ItemKey struct {
	ID    string
	Panel int
}

// sweepResult is what the sweep found: which items failed anywhere, and the
// fewest parts that held a panel anywhere, two standing for more.
type sweepResult struct {
	Failed  map[ItemKey]bool
	Holders int
}

// Sweep puts the leaf at steps + 1 places from shut to open and looks at each
// where every pinion, roller, wheel and corner is. It takes nothing from the
// inequalities.
func (m *mover) Sweep(steps int) sweepResult {
	r := sweepResult{Failed: map[ItemKey]bool{}, Holders: 2}
	leaf, p := m.leaf, m.p
	e := p.EngagementMargin
	within := func(x, from, to float64) bool { return x >= from-hair && x <= to+hair }
	for k := 0; k <= steps; k++ {
		t := float64(k) / float64(steps)
		for i := range leaf.Panels {
			panel := &leaf.Panels[i]
			s := panel.ShutAt + (leaf.OpenAt-panel.ShutAt)*t
			fail := func(id string) { r.Failed[ItemKey{id, panel.Number}] = true }
			if panel.Driven {
				meets := leaf.PinionAt - s
				if !within(meets-m.shift, 0, leaf.Rack) || !within(meets+m.shift, 0, leaf.Rack) {
					fail("pinion")
				}
			}
			// Where the rollers that hold this panel stand now.
			id, middle := "rollers", leaf.RollersAt
			if i+1 < len(leaf.Panels) {
				next := &leaf.Panels[i+1]
				id, middle = "carrier", next.ShutAt+(leaf.OpenAt-next.ShutAt)*t+m.carrier()
			}
			rail := leaf.Frame + panel.RailOver
			holding := 0
			if within(middle-m.half-s, e, rail-e) {
				holding++
			}
			if within(middle+m.half-s, e, rail-e) {
				if m.half > 0 {
					holding++
				}
			} else {
				fail(id)
			}
			if !within(middle-m.half-s, e, rail-e) {
				fail(id)
			}
			if i == 0 && m.in.LatchStop && within(s, panel.ShutAt, panel.ShutAt+p.CatchDepth) {
				holding++
			}
			r.Holders = min(r.Holders, holding)
			if h := leaf.Hanging; h != nil {
				for _, at := range [2]float64{h.Front, h.Rear} {
					if !within(at-p.HangCarriage/2, s+e, s+leaf.Frame+panel.Tail-e) ||
						!within(at+p.HangCarriage/2, s+e, s+leaf.Frame+panel.Tail-e) {
						fail("carriages")
					}
				}
			} else {
				track := m.track.Lines[i]
				for _, w := range panel.Wheels {
					if !within(s+w.At, track.Start, track.End) {
						fail("wheels")
					}
				}
			}
			rear := s + leaf.Frame + max(panel.Tail, panel.RailOver)
			if m.in.RoomKnown && rear > m.room+hair {
				fail("room")
			}
			front, back := m.l.panelFaces(leaf, i)
			now := geom.RectangleOf(s, front, rear, back)
			for f := range m.fixed {
				if m.fixed[f].meets(now) {
					fail("free")
				}
			}
		}
	}
	if !m.in.StopsShut() {
		r.Failed[ItemKey{"stopShut", 1}] = true
	}
	if !m.in.HardStop {
		r.Failed[ItemKey{"stopOpen", 1}] = true
	}
	return r
}
