package stages

import (
	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// outlineFooting adds holes, posts and bars of the steel footing. Posts stand in
// the middle of their holes, except where the hole would reach under the fence.
func (list *OutlineList) outlineFooting(p *practice.Practice, f *plan.Footing, track *plan.Track) {
	half := p.FootPost / 2
	for i := range f.Posts {
		q := &f.Posts[i]
		y := max(0, q.Offset-f.HoleSize/2)
		x := q.Chainage - f.HoleSize/2
		list.Add(plan.Outline{Kind: plan.PartFootingHole, Number: q.Number,
			Name: text.Numbered("Hole of footing post {0}", q.Number), Concrete: true},
			[]geom.Polygon{geom.RectangleOf(x, y, x+f.HoleSize, y+f.HoleSize).Ring()})
	}
	for i := range f.Posts {
		q := &f.Posts[i]
		list.Add(plan.Outline{Kind: plan.PartFootingPost, Number: q.Number,
			Name: text.Numbered("Footing post {0}", q.Number)},
			[]geom.Polygon{geom.RectangleOf(q.Chainage-half, q.Offset-half, q.Chainage+half, q.Offset+half).Ring()})
	}
	wide := p.BarWidth
	if f.Laid == survey.BarOnEdge {
		wide = p.BarThickness
	}
	for i := range track.Lines {
		y := track.Lines[i].Offset
		list.Add(plan.Outline{Kind: plan.PartFootingBar, Number: i + 1, Name: text.Numbered("Bar under track {0}", i+1)},
			[]geom.Polygon{geom.RectangleOf(f.From, y-wide/2, f.To, y+wide/2).Ring()})
	}
}

// ThickenPad gives the pad's level the thickness of a pad that reaches down to
// falling ground.
func ThickenPad(g *plan.Ground, f *plan.Footing) *plan.Ground {
	if f == nil || f.PadDrop == 0 || g == nil || g.Pad == nil || !g.Pad.HasLevel {
		return g
	}
	deeper, pad := *g, *g.Pad
	pad.Thick += f.PadDrop
	deeper.Pad = &pad
	return &deeper
}

// guideDrop is how much taller a guide post cast into falling ground stands
// because no concrete pad holds it at the level of the track, mm.
func guideDrop(f *plan.Footing, g *plan.Ground, p *practice.Practice, l *Placement) float64 {
	if f == nil || !l.HasHole || f.OnPad {
		return 0
	}
	at := l.Guide.Middle()
	drop, _ := DropOff(g, p.TrackBand, at.X, at.Y)
	return max(0, drop)
}
