package casting

import (
	"math"
	"slices"
	"strings"

	"pegpour/engine"
	"pegpour/engine/advice"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// Outcome is the plan on what stands there, beside the plan that was made before.
type Outcome struct {
	// Plan is the design of the survey as poured.
	Plan plan.Plan
	// Changes are the lines of the steel shop's sheet that differ.
	Changes []Change
	// Misfits are the checks, by their index in Plan.Checks, that are worse than they
	// were.
	Misfits []int
	// Pinion is how the pinion meets the rack on the pad as it was poured.
	Pinion Pinion
	// Sides are the pinions of two leaves that meet, in place of Pinion.
	Sides []Pinion
}

// Travels reports whether every leaf travels on what was poured.
func (o *Outcome) Travels() bool {
	for _, side := range o.Plan.Sides() {
		if !side.Leaf.Proof.Proven {
			return false
		}
	}
	return true
}

// Change is a size that differs between the plan and what was poured.
type Change struct {
	Name text.Name
	// Detail is the section of a member; may be empty.
	Detail          text.Name
	Dimension       text.Dimension
	Planned, Poured float64
	// Added and Gone say that only one of the two plans has it.
	Added, Gone bool
}

// Difference is what was poured less what was planned.
func (c *Change) Difference() float64 { return c.Poured - c.Planned }

// Pinion is how the pinion meets the rack on a pad as it was poured.
type Pinion struct {
	Judged bool
	// Height of the rack above the motor's base, and what the motor takes, mm.
	Height, Least, Most float64
	Fits                bool
	Words               text.Text
	// Water says that rainwater stands on the pad; empty where it runs off, or where
	// that is not known.
	Water text.Text
	// Remedies were designed with: after each the pinion meets the rack, and nothing
	// new stops.
	Remedies []plan.Remedy
}

// Pinions are how the pinion of each leaf meets its rack.
func (o *Outcome) Pinions() []Pinion {
	if len(o.Sides) > 0 {
		return o.Sides
	}
	return []Pinion{o.Pinion}
}

// Design designs what was poured and compares it with the plan that was made before.
func (b *Poured) Design(planned *plan.Plan, p practice.Practice) Outcome {
	p.ReplaceRefused()
	var o Outcome
	o.Plan, _ = engine.Design(b.Survey, p)
	o.Changes = ChangesBetween(planned, &o.Plan)
	for i := range o.Plan.Checks {
		if worse(planned, &o.Plan.Checks[i]) {
			o.Misfits = append(o.Misfits, i)
		}
	}
	if len(b.Sides) == 0 {
		o.Pinion = b.pinion(planned, &o.Plan, p)
	} else if was, is := planned.Sides(), o.Plan.Sides(); len(was) == 2 && len(is) == 2 {
		for i := range b.Sides {
			o.Sides = append(o.Sides, b.Sides[i].pinion(was[i].Plan, is[i].Plan, p))
		}
	}
	return o
}

// worse reports whether a check says more than any of the plan before said of the same.
func worse(planned *plan.Plan, c *plan.Check) bool {
	if c.Severity == plan.Sound {
		return false
	}
	return !slices.ContainsFunc(planned.Checks, func(was plan.Check) bool {
		return was.Question == c.Question && was.Field == c.Field &&
			(was.Severity == c.Severity || was.Severity == plan.Stop)
	})
}

// Remedies designs with what may settle the misfits. It takes many designs.
func (b *Poured) Remedies(o *Outcome, p practice.Practice) []advice.VerifiedRemedy {
	return advice.RemediesOf(b.Survey, p, o.Plan, func(i int) bool { return slices.Contains(o.Misfits, i) })
}

// ChangesBetween are the sizes of the steel shop's sheet that differ by more than a
// tape can tell.
func ChangesBetween(planned, poured *plan.Plan) []Change {
	var all []Change
	if was, is := planned.Sides(), poured.Sides(); len(was) == 2 && len(is) == 2 {
		for i := range was {
			for _, c := range ChangesBetween(was[i].Plan, is[i].Plan) {
				c.Name = is[i].Named(c.Name)
				all = append(all, c)
			}
		}
		return all
	}
	add := func(c Change) {
		if c.Added || c.Gone || math.Abs(c.Difference()) > plan.Tolerance {
			all = append(all, c)
		}
	}
	add(Change{Name: survey.FieldOf(survey.OpeningWidth).Name, Dimension: text.Length, Planned: planned.Opening,
		Poured: poured.Opening})
	for _, id := range [...]string{plan.FigureLeafFrame, plan.FigureLeafTravel, plan.FigureLeafTail, plan.FigureLeafRack,
		plan.FigureLeafGuideRail} {
		was, had := planned.Figure(id)
		is, has := poured.Figure(id)
		if had || has {
			name := is.Name
			if !has {
				name = was.Name
			}
			add(Change{Name: name, Dimension: text.Length, Planned: was.Value, Poured: is.Value, Added: !had, Gone: !has})
		}
	}
	if was, is := &planned.Leaf, &poured.Leaf; math.Abs(was.Slope) > 0 || math.Abs(is.Slope) > 0 { // no longer those along the fence
		add(Change{Name: "Rack, cut length", Dimension: text.Length, Planned: was.RackCut, Poured: is.RackCut})
		add(Change{Name: "Guide rail, cut length", Dimension: text.Length, Planned: was.GuideRailCut, Poured: is.GuideRailCut})
		add(Change{Name: "Rise of the leaf over its length, towards the run-back", Dimension: text.Length, Planned: was.Rise,
			Poured: is.Rise})
	}
	for i := range max(len(planned.Track.Lines), len(poured.Track.Lines)) {
		c := Change{Name: text.Numbered("Track {0}, length to cut", i+1), Dimension: text.Length}
		if c.Added = i >= len(planned.Track.Lines); !c.Added {
			c.Planned = planned.Track.Lines[i].Length
		}
		if c.Gone = i >= len(poured.Track.Lines); !c.Gone {
			c.Poured = poured.Track.Lines[i].Length
		}
		add(c)
	}
	return append(all, memberChanges(planned, poured)...)
}

// memberChanges compares cut lists by mark and section.
func memberChanges(planned, poured *plan.Plan) (all []Change) {
	find := func(of *plan.Plan, m *plan.Member) *plan.Member {
		for i := range of.Leaf.Members {
			if q := &of.Leaf.Members[i]; q.Mark == m.Mark && q.Section == m.Section {
				return q
			}
		}
		return nil
	}
	for i := range poured.Leaf.Members {
		m := &poured.Leaf.Members[i]
		if m.Mark == "Rack" || m.Mark == "Guide rail" {
			continue // told above
		}
		was := find(planned, m)
		switch {
		case was == nil:
			all = append(all, Change{Name: m.Mark, Detail: m.Section, Dimension: text.Length, Poured: m.Length, Added: true})
		case math.Abs(m.Length-was.Length) > plan.Tolerance:
			all = append(all, Change{Name: m.Mark, Detail: m.Section, Dimension: text.Length, Planned: was.Length,
				Poured: m.Length})
		}
		if was != nil && was.Count != m.Count {
			all = append(all, Change{Name: m.Mark, Detail: m.Section, Dimension: text.Count, Planned: float64(was.Count),
				Poured: float64(m.Count)})
		}
	}
	for i := range planned.Leaf.Members {
		if m := &planned.Leaf.Members[i]; find(poured, m) == nil {
			all = append(all, Change{Name: m.Mark, Detail: m.Section, Dimension: text.Length, Planned: m.Length, Gone: true})
		}
	}
	for i := range all { // a batten of battens
		if strings.EqualFold(all[i].Name.String(), all[i].Detail.String()) {
			all[i].Detail = ""
		}
	}
	return all
}

// pinion judges the pad as it was poured:
//
//	h = z_t(x_p) + h_rack − h_packer − z_pad, from the least to the most the motor takes
//
// Source: geometry of rack and pinion, as of the pad's level in the plan.
func (b *Poured) pinion(planned, poured *plan.Plan, p practice.Practice) (q Pinion) {
	if !b.PadRead || !poured.Has(plan.PartMotor) {
		return q
	}
	q.Judged = true
	height := func(p *practice.Practice, at float64) float64 {
		level := planned.Ground.TrackLevel(at)
		if b.Line != nil {
			level = b.Line.At(at)
		}
		return level + p.RackHeight - p.MotorPacker - b.Pad
	}
	q.Height = height(&p, poured.Leaf.PinionAt)
	q.Least, q.Most = min(p.PinionLeast, p.PinionMost), max(p.PinionLeast, p.PinionMost)
	q.Fits = q.Height >= q.Least-plan.Tolerance && q.Height <= q.Most+plan.Tolerance
	if g := planned.Ground; g != nil && g.Pad != nil && b.Pad < g.Pad.Water-plan.Tolerance {
		q.Water = text.Say("The pad lies {0} too low for rainwater to run round it: set the motor on a packer as high, or lay a channel.",
			text.MM(g.Pad.Water-b.Pad))
	}
	if q.Fits {
		q.Words = text.Say("The rack meets the pinion {0} above the motor's base; the motor takes {1} to {2}.",
			text.MM(q.Height), text.MM(q.Least), text.MM(q.Most))
		return q
	}
	q.Words = text.Say("The rack comes {0} above the motor's base, and the motor takes {1} to {2} only.",
		text.MM(q.Height), text.MM(q.Least), text.MM(q.Most))
	try := func(r plan.Remedy) {
		s, own, ok := advice.With(b.Survey, p, r.Changes)
		if !ok {
			return
		}
		after, _ := engine.Judge(s, own)
		h := height(&own, after.Leaf.PinionAt)
		if h < q.Least-plan.Tolerance || h > q.Most+plan.Tolerance {
			return
		}
		for i := range after.Checks {
			if after.Checks[i].Severity == plan.Stop && worse(poured, &after.Checks[i]) {
				return
			}
		}
		q.Remedies = append(q.Remedies, r)
	}
	rule := func(key string, to float64) []plan.Change {
		return []plan.Change{{Path: practice.PracticePath + key, Value: to}}
	}
	if q.Height > q.Most {
		up := math.Ceil(q.Height - q.Most)
		try(plan.Remedy{Words: text.Say("Set the motor on a packer {0} high in all: {1} more.", text.MM(p.MotorPacker+up), text.MM(up)),
			Changes: rule(practice.RuleMotorPacker, p.MotorPacker+up)})
		try(plan.Remedy{Words: text.Say("Fix the rack {0} lower on the leaf: {1} above the strip.", text.MM(up),
			text.MM(p.RackHeight-up)), Changes: rule(practice.RuleLeafRackHeight, p.RackHeight-up)})
		return q
	}
	up := math.Ceil(q.Least - q.Height)
	if p.MotorPacker > 0 {
		down := min(up, p.MotorPacker)
		try(plan.Remedy{Words: text.Say("Set the motor {0} lower: a packer of {1}.", text.MM(down), text.MM(p.MotorPacker-down)),
			Changes: rule(practice.RuleMotorPacker, p.MotorPacker-down)})
	}
	try(plan.Remedy{Words: text.Say("Fix the rack {0} higher on the leaf: {1} above the strip.", text.MM(up),
		text.MM(p.RackHeight+up)), Changes: rule(practice.RuleLeafRackHeight, p.RackHeight+up)})
	return q
}
