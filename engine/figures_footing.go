package engine

import (
	"strconv"

	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// sourceFooting names what the footing is reckoned by.
const sourceFooting = "handbook beam formulas; AISC 360 column curve (memory); International Building Code 1807.3.2, embedded posts"

// explainFooting gives the figures of the steel footing.
func (d *designed) explainFooting(list *figureList) {
	made := d.Plan
	f := made.Footing
	if f == nil {
		return
	}
	ground := []string{survey.GroundShape, survey.GroundLevelsTaken, survey.GateFootingBar, survey.OpeningWidth}
	built := &f.Flat
	if f.Laid == survey.BarOnEdge {
		built = &f.OnEdge
	}
	for _, c := range [...]struct {
		id   string
		name text.Name
		of   *plan.BarCase
	}{{plan.FigureFootingFlat, "Widest post spacing, bar flat", &f.Flat},
		{plan.FigureFootingOnEdge, "Widest post spacing, bar on edge", &f.OnEdge}} {
		list.add(plan.Figure{ID: c.id, Name: c.name, Dimension: text.Length, Value: c.of.Widest,
			How: text.Say("set by {0}; at {1} a wheel of {2} bends it to {3} of {4} and {5} of {6}", text.Word(c.of.SetBy),
				text.MM(c.of.Spacing), text.Newtons(f.Wheel), text.Megapascals(c.of.Stress), text.Megapascals(c.of.Allowable),
				text.Tenths(c.of.Deflection), text.Tenths(c.of.Limit)),
			Rules: []string{practice.RuleFootingBarWidth, practice.RuleFootingBarThickness, practice.RuleFootingSpacingMost,
				practice.RuleFootingSpanOver, practice.RuleFootingSag, practice.RuleFootingMargin, practice.RuleFootingPush,
				practice.RuleFootingYield, practice.RuleFootingSafety}, Fields: ground, Source: sourceFooting})
	}
	list.add(plan.Figure{ID: plan.FigureFootingSpacing, Name: "Between footing posts", Dimension: text.Length,
		Value: f.Spacing,
		How:   text.Counted(built.Spans, "one span, no wider than {1}", "{0} spans, none wider than {1}", text.MM(built.Widest)),
		Rules: []string{practice.RuleFootingSpacingMost}, Fields: ground, Source: sourceFooting})
	list.add(plan.Figure{ID: plan.FigureFootingBar, Name: "Footing bar, cut length", Dimension: text.Length, Value: f.Bar,
		How: text.Say("from chainage {0} to {1}, beyond the rear wheel and the stop, along the grade", text.MM(f.From),
			text.MM(f.To)), Fields: ground, Source: sourceGeometry})
	if !f.Levelled {
		return
	}
	for i := range f.Posts {
		q := &f.Posts[i]
		n := strconv.Itoa(q.Number)
		list.add(plan.Figure{ID: "footing.post." + n, Name: text.Numbered("Footing post {0}, cut length", q.Number),
			Dimension: text.Length, Value: q.Length,
			How: text.Say("{0} out of the ground at chainage {1} + {2} in its hole", text.MM(q.Above), text.MM(q.Chainage),
				text.MM(q.Depth)),
			Rules: []string{practice.RuleFootingEmbedLeast, practice.RuleFootingHole, practice.RuleFootingPush}, Fields: ground,
			Source: sourceFooting})
	}
}
