package engine

import "strconv"

// sourceFooting names what the footing is reckoned by.
const sourceFooting = "handbook beam formulas; AISC 360 column curve (memory); International Building Code 1807.3.2, embedded posts"

// explainFooting gives the figures of the steel footing.
func (d *designed) explainFooting(list *figureList) {
	plan := d.plan
	f := plan.Footing
	if f == nil {
		return
	}
	ground := []string{GroundShape, GroundLevelsTaken, GateFootingBar, OpeningWidth}
	built := &f.Flat
	if f.Laid == BarOnEdge {
		built = &f.OnEdge
	}
	for _, c := range [...]struct {
		id, name string
		of       *BarCase
	}{{FigureFootingFlat, "Widest post spacing, bar flat", &f.Flat}, {FigureFootingOnEdge, "Widest post spacing, bar on edge", &f.OnEdge}} {
		list.add(Figure{ID: c.id, Name: c.name, Dimension: Length, Value: c.of.Widest,
			How:   say("set by {0}; at {1} a wheel of {2} bends it to {3} of {4} and {5} of {6}", wordArg(c.of.SetBy), mm(c.of.Spacing), newton(f.Wheel), stress(c.of.Stress), stress(c.of.Allowable), tenths(c.of.Deflection), tenths(c.of.Limit)),
			Rules: []string{RuleFootingBarWidth, RuleFootingBarThickness, RuleFootingSpacingMost, RuleFootingSpanOver, RuleFootingSag, RuleFootingMargin, RuleFootingPush, RuleFootingYield, RuleFootingSafety}, Fields: ground, Source: sourceFooting})
	}
	list.add(Figure{ID: FigureFootingSpacing, Name: "Between footing posts", Dimension: Length, Value: f.Spacing,
		How: say("{0} spans, none wider than {1}", number(float64(built.Spans)), mm(built.Widest)), Rules: []string{RuleFootingSpacingMost}, Fields: ground, Source: sourceFooting})
	list.add(Figure{ID: FigureFootingBar, Name: "Footing bar, cut length", Dimension: Length, Value: f.Bar,
		How: say("from chainage {0} to {1}, beyond the rear wheel and the stop, along the grade", mm(f.From), mm(f.To)), Fields: ground, Source: sourceGeometry})
	if !f.Levelled {
		return
	}
	for i := range f.Posts {
		q := &f.Posts[i]
		n := strconv.Itoa(q.Number)
		list.add(Figure{ID: "footing.post." + n, Name: Fill("Footing post {0}, cut length", n), Dimension: Length, Value: q.Length,
			How:   say("{0} out of the ground at chainage {1} + {2} in its hole", mm(q.Above), mm(q.Chainage), mm(q.Depth)),
			Rules: []string{RuleFootingEmbedLeast, RuleFootingHole, RuleFootingPush}, Fields: ground, Source: sourceFooting})
	}
}
