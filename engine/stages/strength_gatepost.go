package stages

import (
	"math"

	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/refusal"
	"pegpour/engine/steel"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// gatePosts looks at the gate posts where the leaf hangs on them in the wind: the
// run-back post where the rollers stand on a bracket of it, the latch post where
// it has a catch. Only their section is looked at; a footing cannot be seen.
func gatePosts(in *Inputs, p *practice.Practice, l *Placement, g *plan.GuideStrength) (runBack, latch *plan.GatePost,
	refused []plan.Refusal) {
	if g == nil {
		return nil, nil, nil
	}
	look := func(what text.Name, force, height, along float64) *plan.GatePost {
		post := &plan.GatePost{Force: force, Moment: force * height, Made: in.postMade}
		holds, err := gatePostHolds(in.postMade, p, along, in.PostDepth)
		if err != nil {
			field := survey.OpeningPostMade
			refused = append(refused, plan.Refusal{What: what, Field: field,
				Words: text.Say("{0} cannot be judged: {1}. It takes {2} at {3}, {4} at its foot.", text.Word(what),
					text.List(text.Because(err)), text.Newtons(force), text.MM(height), text.NewtonMillimetres(post.Moment))})
			return post
		}
		post.Use = post.Moment / holds
		return post
	}
	if in.Guide == survey.GuideOnPost {
		runBack = look("The run-back post under the rollers", g.Push, g.Height, in.PostRunBack)
	}
	if in.LatchStop {
		latch = look("The latch post under the catch", math.Abs(g.Latch), min(p.HandHeight, g.Height), in.PostLatch)
	}
	return runBack, latch, refused
}

// gatePostHolds is the moment square to the fence that the section of a gate post
// may take, N·mm: along and depth are its sizes along and square to the fence, mm.
//
//	M = f·W;  W = b·d²/6 of timber, of a hollow section by EN 10219-2
//
// Source: bending of a section; the stresses are the shop's rules.
func gatePostHolds(made string, p *practice.Practice, along, depth float64) (float64, error) {
	switch made {
	case survey.PostSteel:
		tube, err := steel.Hollow(depth, along, p.GatePostWall)
		return tube.ModulusVertical * p.PostYield / p.SteelSafety, err
	case survey.PostTimber:
		bar, err := steel.Flat(depth, along)
		return bar.ModulusVertical * p.GatePostTimber, err
	case survey.PostMasonry:
		return 0, refusal.Error("what stands inside and under a pillar of stone or brick cannot be seen, and by its weight alone it holds little: an engineer looks at it")
	}
	return 0, refusal.Error("nobody looked at what it is made of")
}
