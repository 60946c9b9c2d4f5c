package stages

import (
	"math"

	"pegpour/engine/ground"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/refusal"
	"pegpour/engine/soil"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// GuideStand is how what holds the rollers stands in the ground.
type GuideStand struct {
	Push    *plan.GuideStrength // nil where the wind on the leaf was refused
	Caught  float64             // the push where a catch holds the open leaf, N
	Hole    guideHole
	Bearing ground.Bearing // of the ground at the post
	Away    error          // why it holds nothing there
	refused []plan.Refusal
}

// guideHole is the hole of a guide post that is cast in, mm.
type guideHole struct {
	Least float64 // the trade's, from where firm ground begins
	Soft  float64 // over the firm ground
	Moves float64 // of the ground that frost or swelling clay moves
	Above float64 // of the pad's top above falling ground
	Depth float64 // as dug, from the top of the pad: the greater of the trade's and what strength asks
}

// StandGuide finds how tall the guide post stands and how deep it goes. The
// ground that is soft holds nothing: the push acts so much higher above what does,
// and the post stands in firm ground by the greater of the trade's depth and what
// the wind asks for, or by the trade's alone where the shop so decides; its foot
// is below what frost or swelling clay moves whatever asks for less.
func StandGuide(in *Inputs, p *practice.Practice, l *Placement, blown *LeafWind, footing *plan.Footing,
	g *plan.Ground) GuideStand {
	s := GuideStand{Caught: blown.caught, Hole: guideHole{Least: p.GuideHoleDepth, Soft: in.Bearing.DepthToFirm,
		Moves: math.Ceil(in.Bearing.Moves()/p.HoleStep) * p.HoleStep}}
	if footing != nil && l.HasPad {
		s.Hole.Above = footing.PadDrop
	}
	s.Hole.Depth = max(s.Hole.Soft+s.Hole.Least, s.Hole.Moves) + s.Hole.Above
	if blown.err != nil {
		s.refused = notLookedAt("The leaf in the wind", blown.err, survey.GateHeight)
	}
	if blown.push == nil {
		return s
	}
	push := *blown.push
	push.Height = max(push.Height+footBelowTrack(footing, g, p, l), 1)
	s.Push = &push
	if !l.HasHole {
		return s
	}
	at := l.Guide.Middle()
	s.Bearing, s.Away = bearingAt(in, g, at.X, at.Y)
	var refused []plan.Refusal
	push.PostInHole, refused = PostInHole(p, &s.Bearing, s.Away, push.Push, push.Height)
	s.refused = append(s.refused, refused...)
	push.ByTrade = p.GuideHoleBy < 1
	if want := math.Ceil((s.Hole.Soft+push.Embedment)/p.HoleStep)*p.HoleStep + s.Hole.Above; !push.ByTrade {
		s.Hole.Depth = max(s.Hole.Depth, want)
	}
	push.In = s.Hole.Depth - s.Hole.Soft - s.Hole.Above
	if push.Embedment > 0 { // else nothing is known to hold it
		lever := push.Height + s.Hole.Soft
		stiff, part := in.Bearing.Firm.LateralStiffness(), s.Bearing.Firm.Lateral/in.Bearing.Firm.Lateral
		stiff.Even, stiff.Growing = stiff.Even*part, stiff.Growing*part // taken to give as its strength does
		moves, err := soil.EmbeddedPost{Force: push.Push, Height: lever}.Movement(stiff, push.In)
		if err != nil {
			s.refused = append(s.refused, notLookedAt("How far the ground lets the guide post lean", err,
				practice.PracticePath+practice.RuleGuideHoleDepth)...)
		}
		push.Gives = moves.AtGround + moves.Turn*lever
	}
	return s
}

// PostInHole finds how deep a guide post must stand in firm ground under a push
// (N) at a height (mm) above the surface: what stands in soft ground holds nothing.
// away is why the ground holds nothing at it.
func PostInHole(p *practice.Practice, b *ground.Bearing, away error, push, height float64) (post plan.PostInHole,
	refused []plan.Refusal) {
	const what, size = "The guide post's hole", practice.PracticePath + practice.RuleGuideHoleSize
	if !b.Firm.Presumed {
		return post, []plan.Refusal{{What: what, Field: survey.GroundClass, Words: groundNotPresumed(what, b)}}
	}
	if away != nil {
		return post, notLookedAt(what, away, survey.GroundShape)
	}
	pole := soil.EmbeddedPost{Force: max(push, 1), Height: height + b.DepthToFirm,
		Width:   soil.SquareWidth(p.GuideHoleSize),
		Lateral: b.Firm.Lateral, Factor: p.IsolatedPole}
	free, err := pole.Nonconstrained()
	if err != nil {
		refused = notLookedAt(what, err, size)
	}
	post.Embedment = free.Depth
	held, err := pole.Constrained()
	if err != nil && refused == nil {
		refused = notLookedAt("The guide post's hole under a floor", err, size)
	}
	post.Floor = held.Depth
	return post, refused
}

// groundNotPresumed says that something in or on the ground cannot be judged
// without a look into it, and what a trial pit has to show.
func groundNotPresumed(what text.Name, b *ground.Bearing) text.Text {
	if b.Firm.Name == "" {
		return text.Say("{0} cannot be judged: nothing is known of ground of this class.", text.Word(what))
	}
	return text.Say("{0} cannot be judged in {1} without a soils investigation: a trial pit has to show how deep it goes, what lies under it and whether water stands there.", text.Word(what), text.Word(text.Name(b.Firm.Name)))
}

// refuseGround is the same as an error of a formula.
func refuseGround(b *ground.Bearing) error {
	if b.Firm.Name == "" {
		return refusal.Error("nothing is known of ground of this class")
	}
	return refusal.Error("the strength of this ground may not be presumed: it needs a soils investigation")
}
