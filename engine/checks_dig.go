package engine

import (
	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/soil"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// dig is something that is dug.
type dig struct {
	name  text.Name
	part  plan.PartKind
	depth float64 // mm
	ring  geom.Polygon
}

// deepestDigs are the deepest dig that people go into, and the deepest hole that
// is too narrow for it; a depth of 0 where there is none.
func (d *designed) deepestDigs() (open, hole dig) {
	made := d.Plan
	deeper := func(of *dig, by dig) {
		if by.depth > of.depth {
			*of = by
		}
	}
	for i := range made.Outlines {
		o := &made.Outlines[i]
		switch by := (dig{o.Name, o.Kind, o.Depth, o.Ring}); o.Kind {
		case plan.PartDriveStrip, plan.PartLatchStrip, plan.PartRunBackStrip, plan.PartPad:
			deeper(&open, by)
		case plan.PartPostHole, plan.PartFootingHole:
			deeper(&hole, by)
		}
	}
	if made.Ground != nil && made.Ground.Rising != nil {
		r := made.Ground.Rising
		below := r.Formation
		if s := r.Stability; s != nil && r.OfPosts {
			deeper(&hole, dig{"Retaining wall", plan.PartWall, s.PostDepth, r.Walls})
		} else if s != nil {
			below = max(below, d.Practice.WallBaseDepth+s.BaseDown)
		}
		deeper(&open, dig{"Cavity", plan.PartCavity, r.Highest + below, r.Walls})
	}
	return open, hole
}

// face is how steeply the ground of the site stands.
func (d *designed) face() soil.DigSide {
	return d.Inputs.Bearing.Retained.DigSide(d.Inputs.Soil == survey.SoilWet)
}

// checkDig says where a dig is so deep that its sides must be laid back or shored,
// and what they would meet.
func (d *designed) checkDig(found *findings) {
	p := d.Practice
	open, hole := d.deepestDigs()
	if hole.depth <= p.DigTrigger {
		found.quietly(plan.QuestionDigHoles, survey.GroundSoil, p.DigTrigger-hole.depth, text.Length)
	} else {
		found.add(plan.Check{Question: plan.QuestionDigHoles, Severity: plan.Warning, Field: survey.GroundSoil,
			Where: plan.PartIDs(hole.part), At: hole.ring.Centroid(), HasMargin: true, Margin: p.DigTrigger - hole.depth,
			MarginOf: text.Length,
			What: text.Say("A hole is dug {0} deep ({1}): bore it from above. Nobody goes into a hole deeper than {2}, not even with the head.",
				text.MM(hole.depth), text.Word(hole.name), text.MM(p.DigTrigger)),
			Consequence: text.Say("A side that falls in holds who is under it fast. Cover the hole whenever nobody works at it.")})
	}
	face := d.face()
	width, err := face.LaidBack(open.depth)
	if open.depth <= p.DigTrigger || err == nil && face == soil.DigRock {
		found.quietly(plan.QuestionDigSides, survey.GroundSoil, p.DigTrigger-open.depth, text.Length)
		return
	}
	c := plan.Check{Question: plan.QuestionDigSides, Severity: plan.Warning, Field: survey.GroundSoil,
		Where: plan.PartIDs(open.part), At: open.ring.Centroid(), HasMargin: true, Margin: p.DigTrigger - open.depth,
		MarginOf:    text.Length,
		Consequence: text.Say("A side that falls in kills. Local rules decide from what depth, and who must look at it; keep the spoil a metre from the edge.")}
	switch meets := d.metBy(&open, width); {
	case err != nil:
		c.Severity = plan.Stop
		c.What = text.Say("The dig ({0}) is {1} deep: deeper than any rule for laying sides back covers. An engineer designs its shoring.",
			text.Word(open.name), text.MM(open.depth))
	case len(meets) > 0:
		c.What = text.Say("The dig ({0}) is {1} deep, and from {2} on nobody goes in between upright sides. Laid back as such ground needs ({3}, {4} along for each 1 up) they reach {5} beyond it at the top and meet: {6}. Shore it.",
			text.Word(open.name), text.MM(open.depth), text.MM(p.DigTrigger), text.Word(text.Name(face.Name)),
			text.Plain(face.Slope), text.MM(width), text.WordList(meets))
	default:
		c.What = text.Say("The dig ({0}) is {1} deep, and from {2} on nobody goes in between upright sides. Lay them back as such ground needs ({3}, {4} along for each 1 up), {5} beyond it at the top, or shore it.",
			text.Word(open.name), text.MM(open.depth), text.MM(p.DigTrigger), text.Word(text.Name(face.Name)),
			text.Plain(face.Slope), text.MM(width))
	}
	found.add(c)
}

// metBy lists what stands within a width of a dig.
func (d *designed) metBy(of *dig, width float64) (meets []text.Name) {
	site := &d.Plan.Site
	low, high := of.ring.Bounds()
	if low.Y < width {
		meets = append(meets, "the fence and what lies beyond it")
	}
	if geom.Distance(of.ring, site.PostRunBack) < width || geom.Distance(of.ring, site.PostLatch) < width {
		meets = append(meets, "a gate post")
	}
	if site.RoomKnown && high.X+width > site.Room {
		meets = append(meets, "the end of the run-back")
	}
	if site.DepthKnown && high.Y+width > site.Depth {
		meets = append(meets, "what bounds the free depth")
	}
	for i := range site.Obstructions {
		if ob := &site.Obstructions[i]; geom.Distance(of.ring, ob.Box) < width {
			meets = append(meets, plan.NameOfObstruction(ob))
		}
	}
	return meets
}

// explainDig gives how far the sides of the deepest dig are laid back.
func (d *designed) explainDig(list *figureList) {
	p := d.Practice
	open, _ := d.deepestDigs()
	face := d.face()
	width, err := face.LaidBack(open.depth)
	if err != nil || open.depth <= p.DigTrigger || face == soil.DigRock {
		return
	}
	list.add(plan.Figure{ID: plan.FigureDigSides, Name: "Sides of the deepest dig, laid back beyond it",
		Dimension: text.Length, Value: width, Rules: []string{practice.RuleDigTrigger},
		Fields: []string{survey.GroundSoil, survey.GroundClass},
		How: text.Say("{0} deep × {1} along for each 1 up ({2})", text.MM(open.depth), text.Plain(face.Slope),
			text.Word(text.Name(face.Name))),
		Source: "OSHA 29 CFR 1926 subpart P, appendix B, table B-1"})
}
