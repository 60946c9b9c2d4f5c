package engine

import (
	"math"
	"strconv"

	"pegpour/engine/geom"
)

// outlineFooting adds holes, posts and bars of the steel footing. Posts stand in
// the middle of their holes, except where the hole would reach under the fence.
func (list *outlineList) outlineFooting(p *Practice, f *FootingPlan, track *TrackPlan) {
	half := p.FootPost / 2
	for i := range f.Posts {
		q := &f.Posts[i]
		n := strconv.Itoa(q.Number)
		y := math.Max(0, q.Offset-f.HoleSize/2)
		x := q.Chainage - f.HoleSize/2
		list.add(Outline{Kind: PartFootingHole, Number: q.Number, Name: Fill("Hole of footing post {0}", n), Concrete: true},
			[]geom.Polygon{box{x, y, x + f.HoleSize, y + f.HoleSize}.ring()})
	}
	for i := range f.Posts {
		q := &f.Posts[i]
		n := strconv.Itoa(q.Number)
		list.add(Outline{Kind: PartFootingPost, Number: q.Number, Name: Fill("Footing post {0}", n)},
			[]geom.Polygon{box{q.Chainage - half, q.Offset - half, q.Chainage + half, q.Offset + half}.ring()})
	}
	wide := p.BarWidth
	if f.Laid == BarOnEdge {
		wide = p.BarThickness
	}
	for i := range track.Lines {
		y := track.Lines[i].Offset
		n := strconv.Itoa(i + 1)
		list.add(Outline{Kind: PartFootingBar, Number: i + 1, Name: Fill("Bar under track {0}", n)},
			[]geom.Polygon{box{f.From, y - wide/2, f.To, y + wide/2}.ring()})
	}
}

// guideDrop is how much taller a guide post cast into falling ground stands
// because no concrete pad holds it at the level of the track, mm.
func guideDrop(f *FootingPlan, g *GroundPlan, p *Practice, l *placement) float64 {
	if f == nil || !l.hasHole || f.OnPad {
		return 0
	}
	at := l.guide.middle()
	drop, _ := dropOff(g, p.TrackBand, at.X, at.Y)
	return math.Max(0, drop)
}
