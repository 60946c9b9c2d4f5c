package stages

import (
	"math"

	"pegpour/engine/plan"
	"pegpour/engine/text"
)

// LoadCases are all load cases of a site, put together from what was found
// elsewhere: the leaf that stands in the wind, then the one that moves.
func (d *Designed) LoadCases(s *plan.Strength) []plan.LoadCase {
	return append(d.standingCases(s), d.motionCases(s)...)
}

// standingCases are the leaf shut, open and left, and leant on. They are left out
// where a formula refused the wind on the leaf, and a refusal says so.
func (d *Designed) standingCases(s *plan.Strength) []plan.LoadCase {
	g, p, leaf := s.Guide, d.Practice, &d.Plan.Leaf
	if g == nil || len(leaf.Panels) == 0 {
		return nil
	}
	lean := math.Abs(leaf.Panels[len(leaf.Panels)-1].RollerPush)
	says := standingSays(leaf.Hanging != nil)
	rollers := func(force float64) plan.CaseForce {
		return plan.CaseForce{Name: "Guide rollers, sideways", Force: math.Abs(force) + lean, Where: d.underRollers()}
	}
	shut := plan.LoadCase{ID: "shut", Name: "Shut", Factor: 1, Source: SourceWind,
		What:  text.Say(says.shut, text.Pascals(g.Pressure)),
		Loads: []plan.CaseForce{{Name: "Wind on the leaf", Force: g.Force}}, Forces: []plan.CaseForce{rollers(g.Shut)}}
	if d.Inputs.LatchStop {
		shut.What = text.Say(says.caught, text.Pascals(g.Pressure))
		shut.Forces = append(shut.Forces, plan.CaseForce{Name: "Catch at the latch post", Force: math.Abs(g.Latch)})
	}
	open := plan.LoadCase{ID: "open", Name: "Open and left in a storm", Factor: 1, Source: SourceWind,
		What:   text.Say(says.open, text.Pascals(g.Pressure)),
		Loads:  []plan.CaseForce{{Name: "Wind on one panel", Force: g.OpenForce}},
		Forces: []plan.CaseForce{rollers(g.Open)}}
	if d.Inputs.OpenCatch {
		open.What = text.Say(says.rear, text.Pascals(g.Pressure))
		open.Forces = append(open.Forces, plan.CaseForce{Name: "Catch at the rear", Force: math.Abs(g.OpenCatch)})
	}
	open.Forces = append(open.Forces, plan.CaseForce{Name: says.foot, Force: g.Wheel})
	leaning := plan.LoadCase{ID: "leaning", Name: "Leaning", Factor: 1, Source: "common practice, no published source",
		What: text.Say("A person leans on the standing leaf at {0}, without wind.",
			text.MM(min(p.HandHeight, p.LeafAbove+leaf.Height))),
		Loads: []plan.CaseForce{{Name: "Person", Force: p.FootPush}}, Forces: []plan.CaseForce{rollers(g.Lean)}}
	cases := []plan.LoadCase{shut, open, leaning}
	if h := leaf.Hanging; h != nil && !h.Unjudged {
		cases = append(cases, hangingCase("hanging.shut", "Hanging, shut", &h.Carried[0]),
			hangingCase("hanging.open", "Hanging, open", &h.Carried[len(h.Carried)-1]))
		for i := range cases[3:] {
			cases[3+i].Loads = []plan.CaseForce{{Name: "Weight of the leaf", Force: h.Weight}}
		}
	}
	return cases
}

// hangingCase is what the carriages carry at an end of the travel, the nose not caught.
func hangingCase(id string, name text.Name, at *plan.CarriedAt) plan.LoadCase {
	return plan.LoadCase{ID: id, Name: name, Factor: 1, Source: "statics of a body in two carriages",
		What: text.Say("The leaf hangs in its carriages alone, {0} of its way open, nothing under its nose; below nothing a carriage holds the beam down.",
			text.MM(at.Travelled)),
		Forces: []plan.CaseForce{{Name: "Front carriage", Force: at.Front, Where: plan.PartPad.ID(1)},
			{Name: "Rear carriage", Force: at.Rear, Where: plan.PartPad.ID(1)}}}
}

// standingWords are what is said of what holds a leaf.
type standingWords struct {
	shut, caught, open, rear string
	foot                     text.Name
}

func standingSays(hangs bool) standingWords {
	if hangs {
		return standingWords{
			"The leaf stands shut in the wind of the site, {0}, held by its carriages and the rollers, and nobody leans on it.",
			"The leaf stands shut in the wind of the site, {0}, held by the front carriage, the rollers and the catch at the latch post, head and foot, and nobody leans on it.",
			"The leaf was left open in the wind of the site, {0}: carriages and rollers alone hold it.",
			"The leaf was left open in the wind of the site, {0}: carriages, rollers and the catch at its rear hold it.",
			"Carriage, sideways, the most of all cases"}
	}
	return standingWords{
		"The leaf stands shut in the wind of the site, {0}, held by its wheels and the rollers, and nobody leans on it.",
		"The leaf stands shut in the wind of the site, {0}, held by its wheels, the rollers and the catch at the latch post, and nobody leans on it.",
		"The leaf was left open in the wind of the site, {0}: wheels and rollers alone hold it.",
		"The leaf was left open in the wind of the site, {0}: wheels, rollers and the catch at its rear hold it.",
		"Wheel, sideways, the most of all cases"}
}

// underRollers is the part that holds the guide rollers; empty where it is a gate
// post.
func (d *Designed) underRollers() string {
	if d.Layout.HasGuide {
		return plan.PartGuidePost.ID(1)
	}
	return ""
}
